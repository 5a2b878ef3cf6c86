import { DataTable } from '../parts/data-table.tsx'
import { counted, hundredths } from '../parts/numbers.ts'
import { type Interval, rangeWords } from '../parts/success-interval.tsx'

/** What was seen on a failed copy, and how often each cause shows itself so; shares from 0 to 1. */
export interface SeenRow {
  seen: string
  file: number
  machine: number
  plate: number
}

/** What a group as a whole is like. */
export interface GroupFigures {
  seen: SeenRow[]
  /** share of failed copies of which something was noted without looking */
  blind: number
  /** correlation of the copies of a plate, by what failed; 0 to 1 */
  ties: { stage: 'file' | 'machine' | 'plate'; tie: number }[]
  platesPerFilm: number
  chances: ({ of: string } & Interval)[]
}

export interface Learnt {
  /** null before anything was worked out */
  now: GroupFigures | null
  /** plates that are not counted yet */
  notCounted: number
}

export interface FiguresProps {
  /** where any group starts */
  start: GroupFigures
  /** null for whoever is not signed in */
  learnt: Learnt | null
}

const stages = ['file', 'machine', 'plate'] as const

/** How each cause shows itself: as any group starts, and as this one has learnt. */
export function SeenTable({ start, learnt }: FiguresProps) {
  const now = learnt?.now ?? null
  const rows = (now ?? start).seen.map((row, index) => ({ row, before: start.seen[index] ?? row }))
  return (
    <DataTable
      caption={
        now
          ? 'Of 100 copies that failed for one cause alone, how many show what: as this group has learnt, and in brackets where it started (common practice, no source)'
          : 'Of 100 copies that failed for one cause alone, how many show what: where every group starts (common practice, no source)'
      }
      rows={rows}
      rowKey={({ row }) => row.seen}
      columns={[
        { label: 'Seen', head: true, cell: ({ row }) => row.seen },
        ...stages.map((stage) => ({
          label: `The ${stage}`,
          figures: true,
          cell: ({ row, before }: (typeof rows)[number]) =>
            now ? `${hundredths(row[stage])} (${hundredths(before[stage])})` : hundredths(row[stage]),
        })),
      ]}
    />
  )
}

/** What the group is like besides. */
export function Habits({ start, learnt }: FiguresProps) {
  const figures = learnt?.now ?? start
  const ties = figures.ties.map(({ stage, tie }) => `${tie.toFixed(2)} for the ${stage}`).join(', ')
  return (
    <p>
      {learnt?.now ? 'This group has also learnt' : 'A group also starts from this'}: {hundredths(figures.blind)} of 100
      failed copies are noted without a close look; how far copies on a plate fail together, from 0 (each by itself) to
      1 (all or none), is {ties}; a film lasts about {figures.platesPerFilm} plates.
    </p>
  )
}

/** How many plates the figures do not know yet. */
export function Waiting({ learnt }: FiguresProps) {
  if (!learnt) return null
  const { notCounted } = learnt
  if (notCounted === 0) return <p>At the moment every plate is counted.</p>
  return <p>At the moment {counted(notCounted, 'plate is', 'plates are')} not counted yet.</p>
}

/** What is expected before the first report of a thing. */
export function Chances({ start, learnt }: FiguresProps) {
  const now = learnt?.now ?? null
  const rows = start.chances.map((before, index) => ({ before, here: now?.chances[index] ?? null }))
  return (
    <DataTable
      caption="How many of 100 copies come out, eight times in ten (at first: common practice, no source)"
      rows={rows}
      rowKey={({ before }) => before.of}
      columns={[
        { label: 'What is counted', head: true, cell: ({ before }) => before.of },
        { label: 'At first', cell: ({ before }) => rangeWords(before) },
        ...(now
          ? [{ label: 'In this group', cell: ({ here }: (typeof rows)[number]) => here && rangeWords(here) }]
          : []),
      ]}
    />
  )
}
