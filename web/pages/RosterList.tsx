import { Actions, Button } from '../parts/button.tsx'
import { CheckboxGroup, RadioGroup } from '../parts/choice-field.tsx'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import type { FigureShadow } from '../parts/outline.ts'
import { Section } from '../parts/section.tsx'
import { type FormState, PasteField } from './EditRoster.tsx'

export interface EntryRow {
  id: string
  words: string
  unit: { id: string; name: string; setting: string; scaleMm: number } | null
  nearest: { id: string; name: string; setting: string; scaleMm: number }[]
  models: number
  retail: MoneyValue | null
  standIns: number
  /** The newest open request for the unit. */
  asked: { requestId: string; at: string } | null
  /** Of a stand-in; null while none is measured. */
  shadow: FigureShadow | null
}

interface Props {
  rosterId: string
  entries: EntryRow[]
  /** Of the entries whose boxes have a known price. */
  retail: MoneyValue
  isMine: boolean
  paste: FormState
  asking: FormState
  once: Record<string, string>
}

/** Nobody knows a stand-in, and nobody has asked for one. */
export const isToAsk = ({ standIns, asked }: EntryRow): boolean => standIns === 0 && !asked

/** The entries, and what is still to be said about some of them. */
export function RosterList(props: Props) {
  const { entries, isMine } = props
  const doubtful = entries.filter(({ unit, nearest }) => !unit && nearest.length > 0)
  const covered = entries.filter(({ standIns }) => standIns > 0).length
  const toAsk = entries.filter(isToAsk)
  return (
    <Section heading="The list" id="list">
      {entries.length === 0 ? (
        <EmptyState words="No entries yet." />
      ) : (
        <>
          <p class="quiet">
            {coveredWords(covered, entries.length)}
            {isMine && doubtful.length > 0 && (
              <>
                {' '}
                <a href="#which">
                  {doubtful.length === 1
                    ? 'One line could mean several units'
                    : `${doubtful.length} lines could mean several units`}
                </a>
                .
              </>
            )}
            {isMine && toAsk.length > 0 && (
              <>
                {' '}
                <a href="#ask">What is missing can be asked for</a>.
              </>
            )}
          </p>
          <DataTable
            caption="Entries"
            captionHidden
            rows={entries}
            rowKey={({ id }) => id}
            columns={columnsFor(props)}
          />
        </>
      )}
      {isMine && doubtful.length > 0 && <WhichUnits {...props} entries={doubtful} />}
      {isMine && toAsk.length > 0 && <AskGroup {...props} entries={toAsk} />}
      {isMine && <AddEntries {...props} />}
    </Section>
  )
}

function columnsFor({ rosterId, isMine, entries, retail }: Props): Column<EntryRow>[] {
  const changeOf = ({ id }: EntryRow) => (isMine ? `/rosters/${rosterId}/entries/${id}/edit` : null)
  return [
    {
      label: 'Unit',
      head: true,
      cell: (entry) => <UnitCell entry={entry} />,
      total: 'All of it',
    },
    { label: 'Stand-ins', cell: (entry) => <Coverage entry={entry} /> },
    {
      label: 'Models',
      figures: true,
      cell: (entry) => <Changed at={changeOf(entry)} entry={entry} words={String(entry.models)} />,
      total: entries.reduce((sum, { models }) => sum + models, 0),
    },
    {
      label: 'Boxes',
      figures: true,
      cell: (entry) =>
        entry.retail ? (
          <Money value={entry.retail} />
        ) : (
          <Changed at={changeOf(entry)} entry={entry} words="not known" />
        ),
      total: <Boxes entries={entries} retail={retail} />,
    },
  ]
}

/** Where no price is known the sum of none would read as if boxes were free, and that of some as if it were of all. */
function Boxes({ entries, retail }: Pick<Props, 'entries' | 'retail'>) {
  const priced = entries.filter((entry) => entry.retail).length
  if (priced === 0) return <>not known</>
  return (
    <>
      <Money value={retail} />
      {priced < entries.length && <small>as far as they are known</small>}
    </>
  )
}

function UnitCell({ entry: { unit, words } }: { entry: EntryRow }) {
  return (
    <>
      {unit ? <a href={`/units/${unit.id}`}>{unit.name}</a> : words}
      {!unit && <small>not known which unit is meant</small>}
      {unit && words.toLowerCase() !== unit.name.toLowerCase() && <small>written as “{words}”</small>}
    </>
  )
}

const coveredWords = (covered: number, all: number) =>
  covered === all
    ? 'At least one stand-in is known for every entry.'
    : covered === 0
      ? 'No stand-in is known for any entry yet.'
      : `For ${covered} of ${all} entries at least one stand-in is known.`

/** The value itself leads to where it is changed. */
function Changed({ at, entry, words }: { at: string | null; entry: EntryRow; words: string }) {
  if (at === null) return <>{words}</>
  return (
    <a class="value" href={at}>
      <span class="visually-hidden">Change {entry.unit?.name ?? entry.words}: </span>
      {words}
    </a>
  )
}

/** What is known of an entry, and whether somebody asked the group for more. */
function Coverage({ entry: { standIns, asked } }: { entry: EntryRow }) {
  return (
    <>
      {standIns > 0 && `${standIns} known`}
      {standIns > 0 && asked && ', '}
      {asked && (
        <>
          <a href={`/requests/${asked.requestId}`}>asked for</a> on <DateWords on={asked.at} />
        </>
      )}
      {standIns === 0 && !asked && 'none known'}
    </>
  )
}

const unitWords = ({ name, setting, scaleMm }: EntryRow['nearest'][number]) =>
  [name, setting, `${scaleMm} mm`].filter(Boolean).join(', ')

function WhichUnits({ rosterId, entries, once }: Props) {
  return (
    <div class="screen-only stack" id="which">
      <h3>Which units are these?</h3>
      <Form id="which-units" action={`/rosters/${rosterId}/units`} hidden={once}>
        {entries.map(({ id, words, models, nearest }) => (
          <RadioGroup
            key={id}
            optional
            name={`units.${id}`}
            label={`${models} × ${words}`}
            options={[
              ...nearest.map((unit) => ({ value: unit.id, label: unitWords(unit) })),
              { value: '', label: 'None of these' },
            ]}
          />
        ))}
        <Actions>
          <Button>These are meant</Button>
        </Actions>
      </Form>
    </div>
  )
}

function AskGroup({ rosterId, entries, asking, once }: Props) {
  const options = entries.map(({ id, words, models, unit }) => ({
    value: id,
    label: `${models} × ${unit?.name ?? words}`,
    note: unit ? 'no stand-in is known yet' : 'a new unit is made for it',
  }))
  return (
    <div class="screen-only" id="ask">
      <Disclosure
        summary={
          entries.length === 1 ? 'Ask the group for the missing one' : `Ask the group for the ${entries.length} missing`
        }
        open={Object.keys(asking.errors).length > 0}
      >
        <Form id="ask-group" action={`/rosters/${rosterId}/ask`} hidden={once} {...asking}>
          <ErrorSummary />
          <CheckboxGroup
            name="entryIds"
            label="Ask for"
            hint={entries.length > 100 && 'At most 100 at a time.'}
            options={options}
          />
          <TextField
            optional
            name="setting"
            label="Setting of the new units"
            hint="The world or game system that they belong to."
          />
          <NumberField name="scaleMm" label="Scale of the new units" unit="mm" />
          <Actions>
            <Button>Post the requests</Button>
          </Actions>
        </Form>
      </Disclosure>
    </div>
  )
}

function AddEntries({ rosterId, entries, paste, once }: Props) {
  const isOpen = entries.length === 0 || Object.keys(paste.errors).length > 0
  return (
    <div class="screen-only" id="add">
      <Disclosure summary="Add entries" open={isOpen}>
        <Form class="form form-beside" id="paste" action={`/rosters/${rosterId}/paste`} hidden={once} {...paste}>
          <ErrorSummary />
          <PasteField />
          <Actions>
            <Button>Add these lines</Button>
            <a href={`/rosters/${rosterId}/entries/new`}>Add one by hand, with a price of its own</a>
          </Actions>
        </Form>
      </Disclosure>
    </div>
  )
}
