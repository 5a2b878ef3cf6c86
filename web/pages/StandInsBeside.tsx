import type { ComponentChildren } from 'preact'
import type { Base } from '../parts/base-size.tsx'
import { Money } from '../parts/money.tsx'
import { Section } from '../parts/section.tsx'
import { voteWords } from '../parts/votes.tsx'
import { Fit, Price, type StandIn, StandInSuccess } from './StandInCells.tsx'

interface Props {
  compared: StandIn[]
  unit: { scaleMm: number; base: Base | null }
}

/** Two to four files side by side, a fact a row. */
export function StandInsBeside({ compared, unit }: Props) {
  const rows: [string, (one: StandIn) => ComponentChildren][] = [
    ['Cost to table', (one) => <Price value={one.costToTable} />],
    ['Looks', (one) => <Money value={{ amount: one.breakdown.looks, currency: one.currency }} />],
    ['Ranked by both', (one) => <Price value={one.score} />],
    ['With bad luck', (one) => <Price value={one.badLuckCost} />],
    [
      'The file',
      ({ breakdown, currency, whyNot }) =>
        breakdown.price === null ? whyNot : <Money value={{ amount: breakdown.price, currency }} />,
    ],
    ['Does it print?', (one) => <StandInSuccess {...one} />],
    ['Supports', (one) => one.supportKind],
    ['Votes', (one) => voteWords(one.votes)],
    ['Scale and base', (one) => <Fit row={one} unit={unit} />],
    ['Height', (one) => (one.heightMm === null ? 'not known' : `${one.heightMm} mm`)],
    ['Comes with', (one) => one.options.join(', ') || 'nothing noted'],
    ['Open snags', (one) => one.snags.join('; ') || 'none known'],
  ]
  return (
    <Section heading="Side by side" id="side-by-side">
      <div class="scroll">
        <table class="side-by-side">
          <thead>
            <tr>
              <td />
              {compared.map((one) => (
                <th key={one.id} scope="col">
                  <a href={`/files/${one.id}`}>{one.title}</a>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([label, cell]) => (
              <tr key={label}>
                <th scope="row">{label}</th>
                {compared.map((one) => (
                  <td key={one.id}>{cell(one)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Section>
  )
}
