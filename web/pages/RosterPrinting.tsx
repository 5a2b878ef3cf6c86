import { Caution, Disclosure } from '../parts/blocks.tsx'
import { type Column, DataTable, moneyColumn } from '../parts/data-table.tsx'
import { type MoneyValue, resinWords } from '../parts/money.tsx'
import { hoursWords, volumeWords } from '../parts/numbers.ts'
import { PlateDrawing, type PlateDrawingProps } from '../parts/plate-drawing.tsx'
import { reportHref } from '../parts/step-words.ts'

export interface PlannedEntry
  extends Record<'resinMl' | 'resinG' | 'share', number>,
    Record<'hours' | 'plates' | 'hoursPerPlate', number | null> {
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
  fits: boolean
  /** One of theirs that takes it where the usual one does not. */
  otherPrinter: { id: string; name: string } | null
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
  if (plan.entries.length === 0) return null
  return (
    <div id="printing" class="stack">
      <h3>Printing list</h3>
      <About plan={plan} />
      <DataTable
        caption="Printing list"
        captionHidden
        close
        rows={plan.entries}
        rowKey={({ entryId, fileId }) => `${entryId}${fileId}`}
        columns={columnsFor({ plan, names })}
      />
      <Caution />
    </div>
  )
}

function columnsFor({ plan: { entries, printer, totals }, names }: Props): Column<PlannedEntry>[] {
  const sum = (of: (entry: PlannedEntry) => number | null) =>
    entries.reduce((total, entry) => total + (of(entry) ?? 0), 0)
  const known = (of: (entry: PlannedEntry) => number | null, words: (sum: number) => string) => {
    const unknown = entries.filter((entry) => of(entry) === null).length
    if (unknown === entries.length) return 'not known'
    return `${unknown > 0 ? 'at least ' : ''}${words(sum(of))}`
  }
  return [
    {
      label: 'Entry',
      head: true,
      cell: (entry) => (
        <FromCell entry={entry} name={names[entry.entryId] ?? ''} printer={printer} open={entry === entries[0]} />
      ),
      total: 'All of it',
    },
    { label: 'Copies', figures: true, cell: ({ copies }) => copies, total: sum(({ copies }) => copies) },
    {
      label: 'Plates',
      figures: true,
      cell: ({ plates }) => plates ?? 'not known',
      total: known(({ plates }) => plates, String),
    },
    {
      label: 'Hours',
      figures: true,
      cell: ({ hours }) => (hours === null ? 'not known' : hoursWords(hours)),
      total: known(({ hours }) => hours, hoursWords),
    },
    {
      label: 'Resin',
      figures: true,
      cell: ({ resinMl }) => volumeWords(resinMl),
      total: `${volumeWords(totals.resinMl)}, ${weightWords(totals.resinG)}`,
    },
    moneyColumn('Cost', 'printing', { total: totals.printing, sum: true }),
  ]
}

/** On what it is printed and with what, and how its copies are counted. */
function About({ plan: { entries, printer, resin } }: Pick<Props, 'plan'>) {
  return (
    <p class="quiet">
      {printer
        ? `On ${printer.name}, each plate with one file.`
        : 'You have no printer here yet, so plates and hours are not known.'}{' '}
      Copies are whole numbers, enough to cover the expected failures; the cost counts the failures on average.
      {resin && ` With ${resinWords(resin)}.`}
      {printer &&
        entries.some(({ hours, fits }) => hours === null && fits) &&
        ' Where plates or hours are not known, note the file’s base and height, and plan again.'}
    </p>
  )
}

type FromProps = { entry: PlannedEntry; name: string; open: boolean } & Pick<Props['plan'], 'printer'>

/** What the entry is printed from, how its plate is packed, and its report: folded away but for the first. */
function FromCell({ entry, name, printer, open }: FromProps) {
  const plate = {
    ...entry,
    copies: Math.ceil(entry.copies / (entry.plates || 1)),
    printer: entry.otherPrinter ?? printer,
  }
  return (
    <>
      <Disclosure summary={`${entry.models} × ${name}`} open={open}>
        <p>
          From <a href={`/files/${entry.fileId}`}>{entry.title}</a>, {countedWords(entry)}.
        </p>
        {entry.otherPrinter && <p>On {entry.otherPrinter.name}, since the usual one does not take it.</p>}
        {entry.drawn && <PlateDrawing {...entry.drawn} />}
        <p class="screen-only">
          <a class="button" href={reportHref(plate)}>
            Report a plate<span class="visually-hidden"> for {name}</span>
          </a>
        </p>
      </Disclosure>
      {!entry.fits && <p class="hurdle">It fits on none of your printers: it is here because you chose it.</p>}
    </>
  )
}

/** "as supplied; about 5.2 of 26 fail; 2 h a plate" */
function countedWords({ supportKind, copies, expectedFailures, plates, hoursPerPlate }: PlannedEntry): string {
  const failing = expectedFailures >= 0.05 && `about ${expectedFailures.toFixed(1)} of ${copies} fail`
  const each = plates !== null && plates > 1 && hoursPerPlate !== null && `${hoursWords(hoursPerPlate)} a plate`
  return [supportKind, failing, each].filter(Boolean).join('; ')
}

const weightWords = (grams: number) => (grams >= 1000 ? `${Math.round(grams / 100) / 10} kg` : `${Math.round(grams)} g`)
