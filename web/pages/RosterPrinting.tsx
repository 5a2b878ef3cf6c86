import { Caution } from '../parts/caution.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { hoursWords } from '../parts/hours.ts'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { PlateDrawing, type PlateDrawingProps } from '../parts/plate-drawing.tsx'
import { reportHref } from '../parts/report-href.ts'
import { resinWords } from '../parts/resin-words.ts'
import { volumeWords } from '../parts/volume.ts'

export interface PlannedEntry {
  entryId: string
  fileId: string
  title: string
  supportSetId: string | null
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
  /** The plate that it is printed on, where that is known. */
  drawn?: PlateDrawingProps | undefined
}

interface Props {
  plan: {
    entries: PlannedEntry[]
    printer: { id: string; name: string } | null
    resin: { name: string; withoutRate: string | null } | null
    totals: { printing: MoneyValue; resinMl: number; resinG: number }
  }
  /** What each entry is called. */
  names: Record<string, string>
}

/** What is to be printed: copies, plates, hours and resin of each entry. */
export function RosterPrinting({ plan, names }: Props) {
  const { entries, totals } = plan
  if (entries.length === 0) return null
  const sum = (of: (entry: PlannedEntry) => number | null) =>
    entries.reduce((total, entry) => total + (of(entry) ?? 0), 0)
  const known = (of: (entry: PlannedEntry) => number | null, words: (sum: number) => string) => {
    const unknown = entries.filter((entry) => of(entry) === null).length
    if (unknown === entries.length) return 'not known'
    return `${unknown > 0 ? 'at least ' : ''}${words(sum(of))}`
  }
  return (
    <div id="printing" class="stack">
      <h3>Printing list</h3>
      <About plan={plan} />
      <DataTable
        caption="Printing list"
        captionHidden
        rows={entries}
        rowKey={({ entryId, fileId }) => `${entryId}${fileId}`}
        columns={[
          {
            label: 'Entry',
            head: true,
            cell: (entry) => <FromCell entry={entry} name={names[entry.entryId] ?? ''} printer={plan.printer} />,
            total: 'All of it',
          },
          { label: 'A plate', wide: true, cell: ({ drawn }) => drawn && <PlateDrawing {...drawn} /> },
          { label: 'Copies', figures: true, cell: copiesCell, total: sum(({ copies }) => copies) },
          {
            label: 'Plates',
            figures: true,
            cell: ({ plates }) => plates ?? 'not known',
            total: known(({ plates }) => plates, String),
          },
          {
            label: 'Hours',
            figures: true,
            cell: (entry) => <Hours entry={entry} />,
            total: known(({ hours }) => hours, hoursWords),
          },
          {
            label: 'Resin',
            figures: true,
            cell: ({ resinMl }) => volumeWords(resinMl),
            total: `${volumeWords(totals.resinMl)}, ${weightWords(totals.resinG)}`,
          },
          {
            label: 'Cost',
            figures: true,
            cell: ({ printing }) => <Money value={printing} />,
            total: <Money value={totals.printing} />,
          },
        ]}
      />
      <Caution />
    </div>
  )
}

/** On what it is printed and with what, and how its copies are counted. */
function About({ plan: { entries, printer, resin } }: Pick<Props, 'plan'>) {
  return (
    <p class="quiet">
      {printer
        ? `On ${printer.name}, each plate with one file.`
        : 'You have no printer here yet, so nobody knows the plates and hours.'}{' '}
      Copies are whole ones, enough for the failures to be expected; the cost is for as many as fail on average.
      {resin && ` With ${resinWords(resin)}.`}
      {printer &&
        entries.some(({ hours, fits }) => hours === null && fits) &&
        ' Where plates or hours are not known, note the file’s base and height, and plan again.'}
    </p>
  )
}

type FromProps = { entry: PlannedEntry; name: string } & Pick<Props['plan'], 'printer'>

function FromCell({ entry, name, printer }: FromProps) {
  const plate = {
    ...entry,
    copies: Math.ceil(entry.copies / (entry.plates || 1)),
    printer: entry.otherPrinter ?? printer,
  }
  return (
    <>
      {entry.models} × {name}
      <small>
        from <a href={`/files/${entry.fileId}`}>{entry.title}</a>, {entry.supportKind}
      </small>
      {entry.otherPrinter && <p class="quiet">On {entry.otherPrinter.name}, since the usual one does not take it.</p>}
      {!entry.fits && <p class="hurdle">It fits on none of your printers: it is here since you pinned it.</p>}
      <a class="button screen-only" href={reportHref(plate)}>
        Report a plate<span class="visually-hidden"> for {name}</span>
      </a>
    </>
  )
}

const copiesCell = ({ copies, expectedFailures }: PlannedEntry) => (
  <>
    {copies}
    {expectedFailures >= 0.05 && <small> {expectedFailures.toFixed(1)} fail</small>}
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

const weightWords = (grams: number) => (grams >= 1000 ? `${Math.round(grams / 100) / 10} kg` : `${Math.round(grams)} g`)
