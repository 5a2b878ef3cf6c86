import { Caution } from '../parts/caution.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { hoursWords } from '../parts/hours.ts'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { resinWords } from '../parts/resin-words.ts'

export interface PlannedEntry {
  entryId: string
  fileId: string
  title: string
  supportKind: string
  /** Still to be printed. */
  models: number
  /** Whole ones to be printed; hours, plates and resin are of these. */
  copies: number
  /** That fail on average, which the cost is for. */
  expectedFailures: number
  printing: MoneyValue
  hours: number | null
  plates: number | null
  hoursPerPlate: number | null
  resinMl: number
  resinG: number
  fits: boolean
  /** One of theirs that takes it where the usual one does not. */
  otherPrinter: { id: string; name: string } | null
  share: number
}

interface Props {
  plan: {
    entries: PlannedEntry[]
    printer: { id: string; name: string } | null
    resin: { name: string; withoutRate: string | null } | null
  }
  /** What each entry is called. */
  names: Record<string, string>
}

/** What is to be printed: copies, plates, hours and resin of each entry. */
export function RosterPrinting({ plan: { entries, printer, resin }, names }: Props) {
  if (entries.length === 0) return null
  return (
    <div id="printing" class="stack">
      <h3>Printing list</h3>
      <p class="quiet">
        {printer
          ? `On ${printer.name}, each plate with one file.`
          : 'Plates and hours are not known: you have no printer here yet.'}{' '}
        What is printed already is not asked for. Copies are whole ones to print, enough for the failures to be
        expected; plates, hours and resin are of these. The cost is for as many failures as there are on average, the
        plates included.
        {resin && ` With ${resinWords(resin)}.`}
        {printer &&
          entries.some(({ hours, fits }) => hours === null && fits) &&
          ' Where plates or hours are not known, the file is without its base or its height: note them there, and plan again.'}
      </p>
      <DataTable
        caption="Printing list"
        captionHidden
        rows={entries}
        rowKey={({ entryId, fileId }) => `${entryId}${fileId}`}
        columns={[
          { label: 'Entry', head: true, cell: ({ entryId, models }) => `${models} x ${names[entryId] ?? ''}` },
          { label: 'From', wide: true, cell: (entry) => <FromCell entry={entry} /> },
          { label: 'Copies', figures: true, cell: copiesCell },
          { label: 'Plates', figures: true, cell: ({ plates }) => plates ?? 'not known' },
          { label: 'Hours', figures: true, cell: (entry) => <Hours entry={entry} /> },
          { label: 'Resin', figures: true, cell: ({ resinMl, resinG }) => `${resinMl} ml, ${resinG} g` },
          { label: 'Cost', figures: true, cell: ({ printing }) => <Money value={printing} /> },
        ]}
      />
      <Caution />
    </div>
  )
}

function FromCell({ entry }: { entry: PlannedEntry }) {
  return (
    <>
      <a href={`/files/${entry.fileId}`}>{entry.title}</a> <small>{entry.supportKind}</small>
      {entry.otherPrinter && <p class="quiet">On {entry.otherPrinter.name}, since the usual one does not take it.</p>}
      {!entry.fits && <p class="hurdle">It fits on none of your printers: it is here since you pinned it.</p>}
    </>
  )
}

const copiesCell = ({ copies, expectedFailures }: PlannedEntry) => (
  <>
    {copies} <small>({expectedFailures.toFixed(1)} fail on average)</small>
  </>
)

function Hours({ entry: { hours, hoursPerPlate, plates } }: { entry: PlannedEntry }) {
  if (hours === null) return <>not known</>
  return (
    <>
      {hoursWords(hours)}
      {plates !== null && plates > 1 && hoursPerPlate !== null && <small> ({hoursWords(hoursPerPlate)} a plate)</small>}
    </>
  )
}
