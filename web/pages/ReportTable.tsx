import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'

export interface ReportRow {
  id: string
  member: { name: string }
  file: { id: string; title: string }
  supportSet: { kind: string; revision: string }
  printedOn: string
  tried: number
  good: number
  mended: number
  failures: { seen: string; copies: number }[]
  crowding: string
}

/** Reports of several files, the latest print first. */
export function ReportTable({ reports, caption }: { reports: ReportRow[]; caption: string }) {
  return <DataTable caption={caption} rows={reports} rowKey={(report) => report.id} columns={columns} />
}

const columns = [
  {
    label: 'Printed on',
    head: true,
    cell: (report: ReportRow) => (
      <a href={`/reports/${report.id}`}>
        <DateWords on={report.printedOn} />
      </a>
    ),
  },
  {
    label: 'File',
    cell: ({ file, supportSet }: ReportRow) => (
      <>
        <a href={`/files/${file.id}`}>{file.title}</a> <small>{supportSet.kind}</small>
      </>
    ),
  },
  { label: 'Came out', cell: (report: ReportRow) => outcomeWords(report) },
  { label: 'Seen on the failed ones', cell: ({ failures }: ReportRow) => failuresWords(failures) },
  { label: 'Plate', cell: (report: ReportRow) => report.crowding },
]

/** "supports snapped (2), soft detail (1)". */
export const failuresWords = (failures: ReportRow['failures']) =>
  failures.map(({ seen, copies }) => `${seen} (${copies})`).join(', ') || 'nothing failed'

/** "4 of 6 good, 1 mended". */
export const outcomeWords = ({ good, tried, mended }: Pick<ReportRow, 'good' | 'tried' | 'mended'>) =>
  `${good} of ${tried} good${mended > 0 ? `, ${mended} mended` : ''}`
