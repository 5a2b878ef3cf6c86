import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'

/** How a print came out. */
export interface ReportedPrint {
  id: string
  printedOn: string
  tried: number
  good: number
  mended: number
  failures: { seen: string; copies: number }[]
}

export interface ReportRow extends ReportedPrint {
  member: { name: string }
  file: { id: string; title: string }
  supportSet: { kind: string; revision: string }
  crowding: string
}

/** Reports of several files, the latest print first. */
export function ReportTable({ reports, caption }: { reports: ReportRow[]; caption: string }) {
  return <DataTable caption={caption} rows={reports} rowKey={(report) => report.id} columns={columns} />
}

/** The day of a print, which leads to its plate. */
export const printedOnColumn = {
  label: 'Printed on',
  head: true,
  cell: ({ id, printedOn }: ReportedPrint) => (
    <a href={`/reports/${id}`}>
      <DateWords on={printedOn} />
    </a>
  ),
}

export const cameOutColumn = { label: 'Came out', cell: (report: ReportedPrint) => outcomeWords(report) }

const columns = [
  printedOnColumn,
  {
    label: 'File',
    cell: ({ file, supportSet }: ReportRow) => (
      <>
        <a href={`/files/${file.id}`}>{file.title}</a> <small>{supportSet.kind}</small>
      </>
    ),
  },
  cameOutColumn,
  { label: 'Seen on the failed ones', cell: ({ failures }: ReportRow) => failuresWords(failures) },
  { label: 'Plate', cell: (report: ReportRow) => report.crowding },
]

/** "supports snapped (2), soft detail (1)". */
export const failuresWords = (failures: ReportedPrint['failures']) =>
  failures.map(({ seen, copies }) => `${seen} (${copies})`).join(', ') || 'nothing failed'

/** "4 of 6 good, 1 mended". */
export const outcomeWords = ({ good, tried, mended }: Pick<ReportedPrint, 'good' | 'tried' | 'mended'>) =>
  `${good} of ${tried} good${mended > 0 ? `, ${mended} mended` : ''}`
