import { Disclosure, EmptyState, Section } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { cameOutColumn, failuresWords, printedOnColumn, type ReportRow } from './ReportTable.tsx'

export interface ShownReport extends Omit<ReportRow, 'file'> {
  printer: { name: string }
  remark: string
}

interface Props {
  fileId: string
  /** The latest prints first. */
  reports: ShownReport[]
  more: boolean
}

/** So many reports stand open: on a phone each takes several lines. */
const seenAtOnce = 4

/** How members' own prints of a file came out. */
export function FileReports({ fileId, reports, more }: Props) {
  // One hidden alone would be more to press than to read.
  const seen = reports.length <= seenAtOnce + 1 ? reports.length : seenAtOnce
  const [latest, older] = [reports.slice(0, seen), reports.slice(seen)]
  return (
    <Section heading="Reports" id="reports">
      {reports.length === 0 ? (
        <EmptyState words="Nobody has reported a print of it yet.">
          <a href={`/reports/new?fileId=${fileId}`}>Report a print</a>
        </EmptyState>
      ) : (
        <>
          <DataTable
            caption={more || older.length > 0 ? `The latest ${latest.length} reports` : 'All reports'}
            rows={latest}
            rowKey={({ id }) => id}
            columns={columns}
          />
          {older.length > 0 && (
            <Disclosure summary={`${older.length} before them`}>
              <DataTable caption="Older reports" captionHidden rows={older} rowKey={({ id }) => id} columns={columns} />
            </Disclosure>
          )}
        </>
      )}
    </Section>
  )
}

const columns = [
  printedOnColumn,
  cameOutColumn,
  {
    label: 'Seen on the failed ones',
    cell: ({ failures }: ShownReport) => failures.length > 0 && failuresWords(failures),
  },
  {
    label: 'Supports',
    cell: ({ supportSet }: ShownReport) => (
      <>
        {supportSet.kind} <small>of {supportSet.revision}</small>
      </>
    ),
  },
  {
    label: 'Where',
    cell: (report: ShownReport) => `${report.printer.name} of ${report.member.name}, ${report.crowding}`,
  },
]
