import type { ComponentChildren } from 'preact'
import { type Base, baseMisfit, baseWords } from '../parts/base.ts'
import { Section } from '../parts/blocks.tsx'
import { differences } from '../parts/differences.ts'
import { Money, moneyWords, notToBeHad, Sum } from '../parts/money.tsx'
import { useReader } from '../parts/reader.tsx'
import { depthBelow, HeightRule, Shadow, scaleFor } from '../parts/shadow.tsx'
import { IntervalMark } from '../parts/success-interval.tsx'
import { byWords, figureOf, isHindered, type StandIn, type StoodInFor } from './StandInCells.tsx'

interface Props {
  compared: StandIn[]
  unit: StoodInFor
}

const place = { heightPx: 220, widthPx: 170 }

/**
 * Two to four stand-ins on the unit's base beside one rule, what tells them apart in words, and the rest a fact a row. Roles
 * are written out as in `DataTable`.
 */
export function StandInsBeside({ compared, unit }: Props) {
  const { locale } = useReader()
  const figures = compared.map((one) => figureOf(one, unit))
  const pxPerMm = scaleFor(figures, place, unit.base)
  const tallest = Math.max(...figures.map(({ shadow, heightMm, scaleMm }) => shadow?.heightMm ?? heightMm ?? scaleMm))
  const told = differences(compared.map(comparable), unit, (value) => moneyWords(value, locale))
  return (
    <Section heading="Side by side" id="side-by-side">
      {told.map((words) => (
        <p key={words} class="told">
          {words}
        </p>
      ))}
      <table class={`side-by-side side-by-side-${compared.length}`} role="table">
        <thead role="rowgroup">
          <tr role="row">
            <td role="cell" class="side-by-side-rule">
              <HeightRule mm={tallest} pxPerMm={pxPerMm} belowMm={depthBelow(unit.base)} />
            </td>
            {figures.map((figure, index) => (
              <td key={compared[index]?.id} role="cell">
                <Shadow figure={figure} unitBase={unit.base} pxPerMm={pxPerMm} />
              </td>
            ))}
          </tr>
          <tr role="row">
            <td role="cell" class="side-by-side-rule" />
            {compared.map((one) => (
              <th key={one.id} scope="col" role="columnheader">
                <a href={`/files/${one.id}`}>{one.title}</a>
                <small>{byWords(one.sculptor)}</small>
              </th>
            ))}
          </tr>
        </thead>
        <tbody role="rowgroup">
          {rowsOf(compared, unit).map((row) => (
            <Fact key={row.label} row={row} compared={compared} />
          ))}
        </tbody>
      </table>
    </Section>
  )
}

/** One fact of all of them; on a phone its label stands over its values, and words stand below each other. */
function Fact({ row: { label, cell, words }, compared }: { row: Row; compared: StandIn[] }) {
  return (
    <tr role="row" class={words ? 'side-by-side-words' : undefined}>
      <th scope="row" role="rowheader">
        {label}
      </th>
      {compared.map((one) => (
        <td key={one.id} role="cell" data-of={words && one.title}>
          {cell(one)}
        </td>
      ))}
    </tr>
  )
}

const comparable = (one: StandIn) => ({
  ...one,
  heightMm: one.shadow?.heightMm ?? one.heightMm,
  hindered: isHindered(one),
})

interface Row {
  label: string
  cell: (one: StandIn) => ComponentChildren
  /** Too long for a quarter of a phone's width. */
  words?: boolean
  /** Left out where nobody has anything to say to it. */
  says?: (one: StandIn) => boolean
}

const ofThem = ({ yes, no }: StandIn['votes']) => (yes + no === 0 ? 'no votes yet' : `${yes} of ${yes + no}`)

const price = ({ breakdown, currency, whyNot }: StandIn) =>
  breakdown.price === null ? (
    whyNot
  ) : Number(breakdown.price) === 0 ? (
    'free'
  ) : (
    <Money value={{ amount: breakdown.price, currency }} />
  )

function rowsOf(compared: StandIn[], unit: StoodInFor): Row[] {
  const rows: Row[] = [
    {
      label: 'a model',
      cell: ({ perModel }) => (perModel ? <Sum value={perModel} /> : notToBeHad),
    },
    { label: 'all of them', cell: ({ costToTable }) => costToTable && <Money value={costToTable} /> },
    { label: 'with bad luck', cell: ({ badLuckCost }) => badLuckCost && <Money value={badLuckCost} /> },
    { label: 'the file', cell: price },
    {
      label: 'come out',
      cell: (one) => <IntervalMark interval={one.comesOut} isGuess={one.printSuccess.copies <= 0} words="" />,
    },
    { label: 'would field it', cell: ({ votes }) => ofThem(votes) },
    { label: 'prints best with', cell: (one) => one.supportKind },
    {
      label: 'its base',
      cell: ({ base }) => base && unit.base && <Bases unit={unit.base} file={base} />,
      says: ({ base }) => baseMisfit(base, unit.base) !== null,
    },
    { label: 'comes with', words: true, cell: (one) => one.options.join(', '), says: (one) => one.options.length > 0 },
    { label: 'open snags', words: true, cell: (one) => one.snags.join('; '), says: (one) => one.snags.length > 0 },
  ]
  return rows.filter(({ says }) => !says || compared.some(says))
}

/** The unit's and the file's base from above, to one scale, one on the other: whether it fits is seen at a glance. */

function Bases({ unit, file }: { unit: Base; file: Base }) {
  const reach = Math.max(longest(unit), longest(file)) / 2 + 2
  return (
    <svg
      class="bases"
      width="72"
      height="72"
      viewBox={`${-reach} ${-reach} ${2 * reach} ${2 * reach}`}
      role="img"
      aria-label={`The file's base, ${baseWords(file)}, on the unit's, ${baseWords(unit)}`}
    >
      <Shape base={file} name="base-own" />
      <Shape base={unit} name="base-unit" />
    </svg>
  )
}

function Shape({ base, name }: { base: Base; name: string }) {
  const [x, y] = [longest(base) / 2, (base.shape === 'round' ? base.widthMm : shortest(base)) / 2]
  return base.shape === 'rectangle' ? (
    <rect class={name} x={-x} y={-y} width={2 * x} height={2 * y} />
  ) : (
    <ellipse class={name} cx="0" cy="0" rx={x} ry={y} />
  )
}

const longest = (base: Base) => Math.max(base.widthMm, base.lengthMm ?? 0)
const shortest = (base: Base) => Math.min(base.widthMm, base.lengthMm ?? base.widthMm)
