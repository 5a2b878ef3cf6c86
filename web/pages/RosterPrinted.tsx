import { Button, Disclosure } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Form } from '../parts/form.tsx'
import { counted } from '../parts/numbers.ts'
import { outcomeWords, type ReportedPrint } from './ReportTable.tsx'

export interface Tied extends Omit<ReportedPrint, 'failures'> {
  title: string
}

export interface PrintedEntry extends Record<'wanted' | 'good' | 'mended' | 'failed' | 'missing', number> {
  entryId: string
  reports: Tied[]
}

interface Props {
  rosterId: string
  entries: PrintedEntry[]
  names: Record<string, string>
  /** The member's reports that count for no entry yet; with the entry that is likely meant. */
  uncounted: (Tied & { entryId: string | null })[]
  once: Record<string, string>
}

/** What came out of the printer for each entry, and what is still to print. */
export function RosterPrinted(props: Props) {
  const { rosterId, entries, names } = props
  const figures = (label: string, of: 'good' | 'mended' | 'failed' | 'missing'): Column<PrintedEntry>[] => {
    const total = begun.reduce((sum, entry) => sum + entry[of], 0)
    return total > 0 ? [{ label, figures: true, cell: (entry) => entry[of] || '', total }] : []
  }
  const begun = entries.filter(({ reports }) => reports.length > 0)
  return (
    <>
      {begun.length > 0 && (
        <DataTable
          close
          caption={begun.length < entries.length ? 'Printed so far; the others are not begun' : 'Printed so far'}
          rows={begun}
          rowKey={({ entryId }) => entryId}
          columns={[
            {
              label: 'Entry',
              head: true,
              cell: ({ entryId, wanted }) => `${wanted} × ${names[entryId] ?? ''}`,
              total: 'All of it',
            },
            ...figures('Good', 'good'),
            ...figures('Mended', 'mended'),
            ...figures('Lost', 'failed'),
            ...figures('Missing', 'missing'),
            {
              label: 'From',
              cell: ({ entryId, reports }) => <Reports rosterId={rosterId} entryId={entryId} reports={reports} />,
            },
          ]}
        />
      )}
      {props.uncounted.length > 0 && <Uncounted {...props} />}
      <p class="screen-only">
        <a href="/reports/new">Report another plate</a>; then it can be counted here.
      </p>
    </>
  )
}

/** Reports that may be of one of its entries. */
function Uncounted({ rosterId, entries, names, uncounted, once }: Props) {
  return (
    <div class="screen-only">
      <Disclosure summary="Count a report of yours for an entry">
        {uncounted.map((report) => (
          <Form
            key={report.id}
            id={`tie-${report.id}`}
            class="search"
            action={`/rosters/${rosterId}/prints`}
            hidden={{ ...once, once: `${once.once}-${report.id}`, reportId: report.id }}
            values={{ entryId: report.entryId ?? '' }}
          >
            <SelectField
              name="entryId"
              label={reportWords(report)}
              options={entries.map(({ entryId, wanted }) => ({
                value: entryId,
                label: `${wanted} × ${names[entryId] ?? ''}`,
              }))}
            />
            <Button label={`Count it: ${reportWords(report)}`}>Count it</Button>
          </Form>
        ))}
      </Disclosure>
    </div>
  )
}

const reportWords = (report: Tied) => `${outcomeWords(report)}: ${report.title}, ${report.printedOn}`

function Reports({ rosterId, entryId, reports }: { rosterId: string; entryId: string; reports: Tied[] }) {
  return (
    <Disclosure summary={counted(reports.length, 'report')}>
      <ul class="plain-list">
        {reports.map((report) => (
          <li key={report.id}>
            <a href={`/reports/${report.id}`}>{reportWords(report)}</a>
            <Press
              id={`untie-${report.id}`}
              class="inline screen-only"
              action={`/rosters/${rosterId}/prints/remove`}
              hidden={{ entryId, reportId: report.id }}
              button="Don't count it"
              label={`Don't count it: ${reportWords(report)}`}
            />
          </li>
        ))}
      </ul>
    </Disclosure>
  )
}
