import { Disclosure, Section, WithContents } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { SumTable } from '../parts/money.tsx'
import { counted, hundredths } from '../parts/numbers.ts'
import { type Part, Prose } from '../parts/prose.tsx'
import { type Interval, rangeWords } from '../parts/success-interval.tsx'
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
  figures: FiguresProps
}

/** How everything here is counted, what to mind at the machine, and what the words mean. */
export function Help({ texts, figures }: Props) {
  const pieces = {
    example: <Example />,
    seen: <SeenTable {...figures} />,
    habits: <Habits {...figures} />,
    waiting: <Waiting {...figures} />,
    chances: <Chances {...figures} />,
  }
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
      caption="An example"
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

interface Learnt {
  /** null before anything was worked out */
  now: GroupFigures | null
  /** plates that are not counted yet */
  notCounted: number
}

interface FiguresProps {
  /** where any group starts */
  start: GroupFigures
  /** null for whoever is not signed in */
  learnt: Learnt | null
}

const stages = ['file', 'machine', 'plate'] as const

/** How each cause shows itself: as any group starts, and as this one has learnt. */
function SeenTable({ start, learnt }: FiguresProps) {
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
function Habits({ start, learnt }: FiguresProps) {
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
function Waiting({ learnt }: FiguresProps) {
  if (!learnt) return null
  const { notCounted } = learnt
  if (notCounted === 0) return <p>At the moment every plate is counted.</p>
  return <p>At the moment {counted(notCounted, 'plate is', 'plates are')} not counted yet.</p>
}

/** What is expected before the first report of a thing. */
function Chances({ start, learnt }: FiguresProps) {
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
