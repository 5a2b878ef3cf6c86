import { Disclosure, Section, WithContents } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { SumTable } from '../parts/money.tsx'
import { hundredths } from '../parts/numbers.ts'
import { type Part, Prose } from '../parts/prose.tsx'
import example from '../texts/help/example.json' with { type: 'json' }
import words from '../texts/help/words.json' with { type: 'json' }

const places: [string, string][] = [
  ['first', 'Where to begin'],
  ['ranking', 'How answers are ranked'],
  ['drawings', 'How to read the drawings'],
  ['figures', 'What a figure means'],
  ['blame', 'Whose fault a failed print was'],
  ['measuring', 'Measuring a file'],
  ['starts', 'What is expected before any report'],
  ['plans', 'What a plan of a roster does'],
  ['rosters', 'How far a roster has come'],
  ['cautions', 'Working with resin'],
  ['words', 'The words'],
  ['more', 'More'],
]

interface Props {
  texts: Record<
    'first' | 'ranking' | 'drawings' | 'figures' | 'blame' | 'measuring' | 'starts' | 'plans' | 'rosters' | 'cautions',
    Part[]
  >
  seen: SeenRow[]
}

/** How everything here is counted, what to mind at the machine, and what the words mean. */
export function Help({ texts, seen }: Props) {
  const pieces = { example: <Example />, seen: <SeenTable seen={seen} /> }
  return (
    <WithContents places={places}>
      {places.map(([id, name]) => (
        <Section key={id} heading={name} id={id}>
          {id in texts && <Prose text={texts[id as keyof typeof texts]} pieces={pieces} />}
          {id === 'words' && (
            <Disclosure summary="What they mean here, from group to cost to table">
              <dl class="glossary">
                {Object.entries(words).map(([word, meaning]) => (
                  <div key={word}>
                    <dt>{word}</dt>
                    <dd>{meaning}</dd>
                  </div>
                ))}
              </dl>
            </Disclosure>
          )}
          {id === 'more' && <More />}
        </Section>
      ))}
    </WithContents>
  )
}

/** A sum that ranks, as a group's first settings make it. */
export function Example() {
  const total = example.reduce((sum, { amount }) => sum + Number(amount), 0).toFixed(2)
  return (
    <SumTable
      caption="An example, with a new group’s settings"
      terms={example.map(({ amount, ...term }) => ({ ...term, value: { amount, currency: 'EUR' } }))}
      total={{ words: 'ranked by', value: { amount: total, currency: 'EUR' } }}
    />
  )
}

function More() {
  return (
    <>
      <p>
        The figures your group calculates with are in <a href="/settings">the settings</a>. Programs can do everything
        that the pages can: see <a href="/api">the API</a>.
      </p>
      <p>
        A steward can <strong>merge</strong> two units, files or sculptors that are the same. If the one that stays
        lacks something, such as a file’s sculptor, it is taken from the other. Nothing counts twice: if a member voted
        on both for one request, the later one stays. Entries added by mistake can be removed while nobody uses them.
      </p>
      <p>
        Lists can be downloaded as <strong>tables</strong> (CSV). A cell that a spreadsheet would take for a formula
        begins with an apostrophe.
      </p>
    </>
  )
}

/** What was seen on a failed copy, and how often each cause shows itself so; shares from 0 to 1. */
interface SeenRow {
  seen: string
  file: number
  machine: number
  plate: number
}

const stages = ['file', 'machine', 'plate'] as const

/** How each cause shows itself, as any group starts. */
function SeenTable({ seen }: Pick<Props, 'seen'>) {
  return (
    <DataTable
      caption="Of 100 copies that failed for one cause alone, how many show what: where every group starts (common practice, no source)"
      rows={seen}
      rowKey={(row) => row.seen}
      columns={[
        { label: 'Seen', head: true, cell: (row) => row.seen },
        ...stages.map((stage) => ({
          label: `The ${stage}`,
          figures: true,
          cell: (row: SeenRow) => hundredths(row[stage]),
        })),
      ]}
    />
  )
}
