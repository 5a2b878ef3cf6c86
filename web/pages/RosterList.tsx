import { Disclosure, EmptyState, Section } from '../parts/blocks.tsx'
import { FoldedForm, type FormState } from '../parts/button-form.tsx'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { PasteField } from './EditRoster.tsx'
import { AskGroup, type EntryRow, isToAsk, WhichUnits } from './RosterAsk.tsx'

interface Props {
  rosterId: string
  entries: EntryRow[]
  /** Of the entries whose boxes have a known price. */
  retail: MoneyValue
  isMine: boolean
  /** All is in the plan: on a phone the entries are folded then, since its lists name them once more. */
  isPlanned: boolean
  paste: FormState
  asking: FormState
  once: Record<string, string>
}

/** The entries, and what is still to be said about some of them. */
export function RosterList(props: Props) {
  const { entries, isMine, isPlanned } = props
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
          <div class="roster-entries">
            <Disclosure summary={`${entries.length} entries, a line each`} open={!isPlanned}>
              <DataTable
                caption="Entries"
                captionHidden
                close
                rows={entries}
                rowKey={({ id }) => id}
                columns={columnsFor(props)}
              />
            </Disclosure>
          </div>
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
      cell: (entry) => <NameOf entry={entry} change={changeOf(entry)} />,
      total: 'All of it',
    },
    {
      label: 'Stand-ins',
      cell: ({ standIns, asked }) => (
        <>
          {standIns > 0 && `${standIns} known`}
          {standIns > 0 && asked && ', '}
          {asked && <a href={`/requests/${asked.requestId}`}>asked for</a>}
          {standIns === 0 && !asked && 'none known'}
        </>
      ),
    },
    {
      label: 'Models',
      figures: true,
      cell: (entry) => <Changed at={changeOf(entry)} entry={entry} words={String(entry.models)} />,
      total: entries.reduce((sum, { models }) => sum + models, 0),
    },
    {
      label: 'Boxes',
      figures: true,
      sum: true,
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

/** @param change where its owner says which unit is meant */
function NameOf({ entry: { unit, words }, change }: { entry: EntryRow; change: string | null }) {
  if (!unit)
    return (
      <>
        {words}
        <small>{change ? <a href={change}>say which unit is meant</a> : 'not known which unit is meant'}</small>
      </>
    )
  return (
    <>
      <a href={`/units/${unit.id}`}>{unit.name}</a>
      {words.toLowerCase() !== unit.name.toLowerCase() && <small>written as “{words}”</small>}
    </>
  )
}

/** Where no price is known the sum of none would read as if boxes were free, and that of some as if it were of all. */
function Boxes({ entries, retail }: Pick<Props, 'entries' | 'retail'>) {
  const priced = entries.filter((entry) => entry.retail).length
  if (priced === 0) return <>not known</>
  return (
    <>
      <Money value={retail} />
      {priced < entries.length && <small> as far as known</small>}
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

function AddEntries({ rosterId, entries, paste, once }: Props) {
  return (
    <div class="screen-only" id="add">
      <FoldedForm
        summary="Add entries"
        open={entries.length === 0}
        form={paste}
        class="form form-beside"
        id="paste"
        action={`/rosters/${rosterId}/paste`}
        hidden={once}
        button="Add these lines"
        back={[`/rosters/${rosterId}/entries/new`, 'Add one by hand, with a price of its own']}
      >
        <PasteField />
      </FoldedForm>
    </div>
  )
}
