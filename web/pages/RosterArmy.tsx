import { Army, ArmyState, type Rank } from '../parts/army.tsx'
import { Button, ButtonLink, Disclosure } from '../parts/blocks.tsx'
import { countColumns, DataTable } from '../parts/data-table.tsx'
import { type Errors, Form } from '../parts/form.tsx'
import { counted } from '../parts/numbers.ts'
import { type PlannedStep, type PlateToReport, platesWords, reportHref, stepWords } from '../parts/step-words.ts'

interface Props {
  rosterId: string
  ranks: Rank[]
  /** Models whose file is still to be bought. */
  toBuy: number
  entries: ArmyEntry[]
  next: NextHere | null
  /** Something was counted just now. */
  isCounting: boolean
  /** Why the last press was refused. */
  errors: Errors
}

/** The army as it stands, how far its models have come, and what is next. */
export function RosterArmy({ ranks, toBuy, next, ...count }: Props) {
  return (
    <section class="section" id="army" aria-labelledby="army-heading">
      <h2 class="visually-hidden" id="army-heading">
        The army
      </h2>
      <Army ranks={ranks} />
      <ArmyState id="state" ranks={ranks} toBuy={toBuy} />
      {next && <RosterNext next={next} />}
      <RosterCount {...count} />
    </section>
  )
}

export interface NextHere extends PlannedStep {
  /** The plate that is printed next; null where something else is to be done, or nothing is planned. */
  plate: (PlateToReport & { printer: { name: string } | null; full: string; filmPlates: number | null }) | null
}

/** The next thing to do for this roster, and the press that begins it. */
function RosterNext({ next }: { next: NextHere }) {
  return (
    <div class="next" id="next">
      <p>
        <strong>Next:</strong> {wordsOf(next)}
      </p>
      <Press next={next} />
    </div>
  )
}

/** "print 20 more Fen Wardens on Blue Lid: one plate, half empty, 4 ¼ h. 22 plates on its film so far." */
function wordsOf(next: NextHere): string {
  const { what, plates, hours, plate } = next
  const printer = what === 'print' && plate?.printer ? ` on ${plate.printer.name}` : ''
  const step = `${stepWords(next)}${printer}`
  if (what !== 'print' || plates === null) return `${step}.`
  return `${step}: ${platesWords({ plates, hours, full: plate?.full })}.${filmWords(plate?.filmPlates ?? null)}`
}

const filmWords = (plates: number | null) => (plates ? ` ${counted(plates, 'plate')} on its film so far.` : '')

function Press({ next: { what, plate } }: { next: NextHere }) {
  if (plate)
    return (
      <ButtonLink main href={reportHref(plate)}>
        Report this plate
      </ButtonLink>
    )
  const [href, words] = {
    buy: ['#shopping', 'To the shopping list'],
    choose: ['#plan', 'To the plan'],
    print: ['#plan', 'To the plan'],
    build: ['#count', 'Count what is built'],
    paint: ['#count', 'Count what is painted'],
  }[what] as [string, string]
  return <a href={href}>{words}</a>
}

const states = {
  'To buy': 'toBuy',
  'To print': 'toPrint',
  Printed: 'printed',
  Built: 'built',
  Painted: 'painted',
} as const

type ArmyEntry = Record<(typeof states)[keyof typeof states] | 'models' | 'standIns', number> & {
  id: string
  name: string
}

/** How far each entry has come, and the buttons that count built and painted models. */
function RosterCount({
  rosterId,
  entries,
  isCounting,
  errors,
}: Pick<Props, 'rosterId' | 'entries' | 'isCounting' | 'errors'>) {
  return (
    <div id="count">
      {Object.values(errors).map((words) => (
        <p key={words} class="hurdle" role="alert">
          {words}
        </p>
      ))}
      <Disclosure summary="Entry by entry: count what is built and painted" open={isCounting}>
        <DataTable
          caption="How far the models have come"
          captionHidden
          rows={entries}
          rowKey={({ id }) => id}
          columns={[
            { label: 'Entry', head: true, cell: ({ models, name }) => `${models} × ${name}`, total: 'All' },
            ...countColumns(entries, states),
            { label: 'Count', wide: true, cell: (entry) => <Buttons rosterId={rosterId} entry={entry} /> },
          ]}
        />
        <p class="quiet">
          Printed models are the good and mended copies in the <a href="#spend">reports that count for an entry</a>.{' '}
          <a href="/help#rosters">What is to buy, and what to print</a>.
        </p>
      </Disclosure>
    </div>
  )
}

function Buttons({ rosterId, entry: { id, name, printed, built, painted } }: { rosterId: string; entry: ArmyEntry }) {
  const presses = [
    { words: 'One more built', name: 'built', value: built + 1, can: built < printed },
    { words: 'All printed ones built', name: 'built', value: printed, can: built + 1 < printed },
    { words: 'One more painted', name: 'painted', value: painted + 1, can: painted < built },
    { words: 'One fewer built', name: 'built', value: built - 1, can: built > 0 },
    { words: 'One fewer painted', name: 'painted', value: painted - 1, can: painted > 0 },
  ].filter(({ can }) => can)
  if (presses.length === 0) return <>nothing printed yet</>
  return (
    <Form id={`army-${id}`} class="inline screen-only" action={`/rosters/${rosterId}/entries/${id}/state`}>
      {presses.map((press) => (
        <Button key={press.words} name={press.name} value={String(press.value)} label={`${press.words}: ${name}`}>
          {press.words}
        </Button>
      ))}
    </Form>
  )
}
