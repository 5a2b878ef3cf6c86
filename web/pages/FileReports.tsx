import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Section } from '../parts/section.tsx'
import { failuresWords, outcomeWords } from './ReportTable.tsx'

export interface ShownReport {
  id: string
  member: { name: string }
  supportSet: { kind: string; revision: string }
  printer: { name: string }
  printedOn: string
  tried: number
  good: number
  mended: number
  failures: { seen: string; copies: number }[]
  crowding: string
  remark: string
}

interface Props {
  fileId: string
  /** The latest prints first. */
  reports: ShownReport[]
  more: boolean
}

/** How members' own prints of a file came out. */
export function FileReports({ fileId, reports, more }: Props) {
  return (
    <Section heading="Reports" id="reports">
      {reports.length === 0 ? (
        <EmptyState words="Nobody has reported a print of it yet.">
          <a href={`/reports/new?fileId=${fileId}`}>Report a print</a>
        </EmptyState>
      ) : (
        <DataTable
          caption={more ? `The latest ${reports.length} reports` : 'All reports'}
          rows={reports}
          rowKey={(report) => report.id}
          columns={columns}
        />
      )}
    </Section>
  )
}

const columns = [
  {
    label: 'Printed on',
    head: true,
    cell: (report: ShownReport) => (
      <a href={`/reports/${report.id}`}>
        <DateWords on={report.printedOn} />
      </a>
    ),
  },
  { label: 'Came out', cell: (report: ShownReport) => outcomeWords(report) },
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
