import { Disclosure, Section } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { countColumns, DataTable, moneyColumn } from '../parts/data-table.tsx'
import type { FormState } from '../parts/form.tsx'
import { Money, type MoneyValue, SumTable, type Term } from '../parts/money.tsx'
import { counted } from '../parts/numbers.ts'
import { outcomeWords, type ReportedPrint } from './ReportTable.tsx'
import { type Purchase, RosterBought, RosterOther, type SpendLine } from './RosterOther.tsx'

type Sums = Record<'box' | 'actual' | 'offers' | 'resin' | 'plates' | 'cleanUp' | 'mending' | 'other', MoneyValue>

export interface Spend extends Sums {
  plan: MoneyValue | null
  lines: SpendLine[]
  beside: Record<'buying' | 'printing' | 'other', { planned: MoneyValue | null; actual: MoneyValue }>
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  entries: PrintedEntry[]
}

interface Props {
  rosterId: string
  spend: Spend
  names: Record<string, string>
  currencies: [string, ...string[]]
  spending: FormState
  once: Record<string, string>
}

/** What was really paid and printed so far, and what is still to do. */
export function RosterSpend(props: Props) {
  const { spend } = props
  const missing = spend.entries.reduce((sum, entry) => sum + entry.missing, 0)
  return (
    <Section heading="What it really cost" id="spend">
      <p>
        {Number(spend.actual.amount) === 0 ? (
          'Nothing is spent yet. '
        ) : (
          <>
            Spent so far:{' '}
            <strong>
              <Money value={spend.actual} />
            </strong>
            .{' '}
          </>
        )}
        {missing === 0
          ? 'All of it is printed.'
          : `${missing === 1 ? 'One model is' : `${missing} models are`} still to be printed.`}
      </p>
      {Number(spend.actual.amount) !== 0 && (
        <Disclosure summary="What it was spent on">
          <SumTable caption="So far" terms={termsOf(spend)} total={{ words: 'Spent so far', value: spend.actual }} />
        </Disclosure>
      )}
      {spend.plan && <Beside spend={spend} plan={spend.plan} />}
      <RosterBought
        {...props}
        purchases={spend.purchases}
        countedElsewhere={spend.countedElsewhere}
        total={spend.offers}
      />
      <RosterOther {...props} lines={spend.lines} total={spend.other} />
      <RosterPrinted {...props} entries={spend.entries} />
    </Section>
  )
}

/** What has cost anything so far. */
function termsOf(spend: Spend): Term[] {
  const terms = [
    { words: 'Paid for offers', value: spend.offers },
    {
      words: 'Resin of every copy tried',
      note: 'at its price now, yours where you have bottles here',
      value: spend.resin,
    },
    { words: 'Plates', note: 'a shared one by its share of the copies', value: spend.plates },
    { words: 'Clean-up', note: 'of lost copies, and of plates on which anything failed', value: spend.cleanUp },
    { words: 'Time spent on repairs', note: 'as far as reported', value: spend.mending },
    { words: 'Other', note: 'money received is subtracted', value: spend.other },
  ]
  return terms.filter(({ value }) => Number(value.amount) !== 0)
}

/** What the plan foresaw, and what it came to so far. */
function Beside({ spend: { beside, actual }, plan }: { spend: Spend; plan: MoneyValue }) {
  const rows = [
    { words: 'Buying', ...beside.buying },
    { words: 'Printing, with its failures', ...beside.printing },
    { words: 'Other', ...beside.other },
  ].filter(({ planned, actual: spent }) => Number(planned?.amount ?? 0) !== 0 || Number(spent.amount) !== 0)
  return (
    <Disclosure summary="Planned and actual cost">
      <DataTable
        captionHidden
        caption="Planned and actual cost"
        rows={rows}
        rowKey={({ words }) => words}
        columns={[
          { label: 'For', head: true, cell: ({ words }) => words, total: 'Together' },
          moneyColumn('Planned total', 'planned', { total: plan, none: 'not planned' }),
          moneyColumn('So far', 'actual', { total: actual }),
        ]}
      />
      <p class="quiet">By the last plan: what was spent when it was made, and what was still to be spent then.</p>
    </Disclosure>
  )
}

interface Tied extends Omit<ReportedPrint, 'failures'> {
  title: string
}

interface PrintedEntry extends Record<'wanted' | 'good' | 'mended' | 'failed' | 'missing', number> {
  entryId: string
  reports: Tied[]
}

interface PrintedProps {
  rosterId: string
  entries: PrintedEntry[]
  names: Record<string, string>
}

const printed = { Good: 'good', Mended: 'mended', Lost: 'failed', Missing: 'missing' } as const

/** What came out of the printer for each entry, and what is still to print. */
function RosterPrinted({ rosterId, entries, names }: PrintedProps) {
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
            ...countColumns(begun, printed),
            {
              label: 'From',
              cell: ({ entryId, reports }) => <Reports rosterId={rosterId} entryId={entryId} reports={reports} />,
            },
          ]}
        />
      )}
      <p class="screen-only">
        <a href="/reports/new">Report another plate</a>. A plate that is reported already is counted on its own page.
      </p>
    </>
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
