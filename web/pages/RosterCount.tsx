import { Button, Disclosure } from '../parts/blocks.tsx'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { type Errors, Form } from '../parts/form.tsx'

interface State {
  models: number
  toBuy: number
  toPrint: number
  printed: number
  built: number
  painted: number
}

export type ArmyEntry = State & { id: string; name: string; standIns: number }

interface Props {
  rosterId: string
  entries: ArmyEntry[]
  isCounting: boolean
  errors: Errors
}

/** How far each entry has come, and the buttons that count built and painted models. */
export function RosterCount({ rosterId, entries, isCounting, errors }: Props) {
  const total = stateOf(entries)
  const figures = (label: string, of: keyof State): Column<ArmyEntry>[] =>
    total[of] > 0 ? [{ label, figures: true, cell: (entry) => entry[of] || '', total: total[of] }] : []
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
            ...figures('To buy', 'toBuy'),
            ...figures('To print', 'toPrint'),
            ...figures('Printed', 'printed'),
            ...figures('Built', 'built'),
            ...figures('Painted', 'painted'),
            { label: 'Count', wide: true, cell: (entry) => <Buttons rosterId={rosterId} entry={entry} /> },
          ]}
        />
        <p class="quiet">
          Printed are the good and the mended copies of the <a href="#spend">reports that count for an entry</a>.{' '}
          <a href="/help#rosters">What is to buy, and what to print</a>.
        </p>
      </Disclosure>
    </div>
  )
}

/** What all entries come to together. */
function stateOf(entries: ArmyEntry[]): State {
  const sum = (of: keyof State) => entries.reduce((total, entry) => total + entry[of], 0)
  return {
    models: sum('models'),
    toBuy: sum('toBuy'),
    toPrint: sum('toPrint'),
    printed: sum('printed'),
    built: sum('built'),
    painted: sum('painted'),
  }
}

function Buttons({ rosterId, entry: { id, name, printed, built, painted } }: { rosterId: string; entry: ArmyEntry }) {
  const presses = [
    { words: 'One more built', name: 'built', value: built + 1, can: built < printed },
    { words: 'All printed ones built', name: 'built', value: printed, can: built + 1 < printed },
    { words: 'One more painted', name: 'painted', value: painted + 1, can: painted < built },
    { words: 'One built less', name: 'built', value: built - 1, can: built > 0 },
    { words: 'One painted less', name: 'painted', value: painted - 1, can: painted > 0 },
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
