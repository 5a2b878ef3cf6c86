import { Actions, Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { DateField } from '../parts/field.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { MoneyField } from '../parts/money-field.tsx'
import { Facts, Section } from '../parts/section.tsx'
import { SumTable } from '../parts/sum-table.tsx'
import type { FormState } from './EditRoster.tsx'

interface Purchase {
  id: string
  offerId: string
  title: string
  paid: MoneyValue
  boughtOn: string
  roster: { id: string; name: string } | null
}

interface Tied {
  id: string
  title: string
  printedOn: string
  tried: number
  good: number
}

export interface Spend {
  box: MoneyValue
  plan: MoneyValue | null
  actual: MoneyValue
  offers: MoneyValue
  resin: MoneyValue
  cleanUp: MoneyValue
  purchases: Purchase[]
  countedElsewhere: Purchase[]
  entries: { entryId: string; wanted: number; good: number; failed: number; missing: number; reports: Tied[] }[]
}

interface Props {
  rosterId: string
  spend: Spend
  names: Record<string, string>
  currencies: [string, ...string[]]
  /** Offers of the plan that are not ticked off yet. */
  toBuy: { offerId: string; title: string }[]
  buying: FormState
  /** The member's reports that count for no entry yet; with the entry that is likely meant. */
  loose: (Tied & { entryId: string | null })[]
  once: Record<string, string>
}

/** What was really paid and printed so far, and what is still to do. */
export function RosterSpend(props: Props) {
  const { spend } = props
  const missing = spend.entries.reduce((sum, entry) => sum + entry.missing, 0)
  return (
    <Section heading="What it really cost" id="spend">
      <SumTable
        caption="So far"
        terms={[
          { words: 'Paid for offers', value: spend.offers },
          { words: 'Resin of every copy tried', note: 'at its price now', value: spend.resin },
          { words: 'Clean-up of the failed ones', value: spend.cleanUp },
        ]}
        total={{ words: 'Spent so far', value: spend.actual }}
      />
      <Facts
        facts={[
          ['As planned, all of it', spend.plan && <Money value={spend.plan} />],
          ['The boxes, as far as known', <Money key="box" value={spend.box} />],
          ['Good models still to print', missing === 0 ? 'none, the roster is complete' : missing],
        ]}
      />
      <Bought {...props} />
      <Printed {...props} />
    </Section>
  )
}

function Bought(props: Props) {
  const { rosterId, spend, toBuy, buying, once, currencies } = props
  const { purchases, countedElsewhere } = spend
  const isRefused = Object.keys(buying.errors).length > 0
  return (
    <>
      {purchases.length > 0 && (
        <DataTable
          caption="Bought"
          rows={purchases}
          rowKey={({ id }) => id}
          columns={[
            {
              label: 'Offer',
              head: true,
              cell: ({ id, offerId, title }) => (
                <>
                  <a href={`/offers/${offerId}`}>{title}</a> <StrikeOut rosterId={rosterId} id={id} title={title} />
                </>
              ),
            },
            { label: 'On', cell: ({ boughtOn }) => <DateWords on={boughtOn} /> },
            { label: 'Paid', figures: true, cell: ({ paid }) => <Money value={paid} /> },
          ]}
        />
      )}
      {countedElsewhere.map(({ id, title, paid, roster }) => (
        <p key={id} class="quiet">
          “{title}” is used here and was bought with{' '}
          {roster ? <a href={`/rosters/${roster.id}`}>{roster.name}</a> : 'a roster that is gone'}: its{' '}
          <Money value={paid} /> count there.
        </p>
      ))}
      {toBuy.length > 0 && (
        <div class="screen-only">
          <Disclosure summary="Tick off what you bought" open={isRefused}>
            <Form id="buy" action={`/rosters/${rosterId}/purchases`} hidden={once} {...buying}>
              <ErrorSummary />
              <SelectField
                name="offerId"
                label="Offer"
                options={toBuy.map(({ offerId, title }) => ({ value: offerId, label: title }))}
              />
              <MoneyField name="paid" label="Paid" currencies={currencies} />
              <DateField optional name="boughtOn" label="On" hint="Today if left empty." />
              <Actions>
                <Button>I bought it</Button>
              </Actions>
              <p class="hint">Its files go into your archive; a membership is noted as running.</p>
            </Form>
          </Disclosure>
        </div>
      )}
    </>
  )
}

function StrikeOut({ rosterId, id, title }: { rosterId: string; id: string; title: string }) {
  return (
    <Form id={`strike-${id}`} class="inline screen-only" action={`/rosters/${rosterId}/purchases/${id}/remove`}>
      <Button label={`Strike out: ${title}`}>Strike out</Button>
    </Form>
  )
}

function Printed(props: Props) {
  const { rosterId, spend, names, loose, once } = props
  const begun = spend.entries.filter(({ missing, reports }) => missing > 0 || reports.length > 0)
  return (
    <>
      {begun.length > 0 && (
        <DataTable
          caption="Printed, and still to do"
          rows={begun}
          rowKey={({ entryId }) => entryId}
          columns={[
            { label: 'Entry', head: true, cell: ({ entryId, wanted }) => `${wanted} x ${names[entryId] ?? ''}` },
            { label: 'Good', figures: true, cell: ({ good }) => good },
            { label: 'Failed', figures: true, cell: ({ failed }) => failed },
            { label: 'Missing', figures: true, cell: ({ missing }) => missing },
            {
              label: 'Reports',
              wide: true,
              cell: ({ entryId, reports }) => <Reports rosterId={rosterId} entryId={entryId} reports={reports} />,
            },
          ]}
        />
      )}
      {loose.length > 0 && (
        <div class="screen-only">
          <Disclosure summary="Count a report of yours for an entry">
            {loose.map((report) => (
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
                  options={spend.entries.map(({ entryId, wanted }) => ({
                    value: entryId,
                    label: `${wanted} x ${names[entryId] ?? ''}`,
                  }))}
                />
                <Button label={`Count it: ${reportWords(report)}`}>Count it</Button>
              </Form>
            ))}
          </Disclosure>
        </div>
      )}
      <p class="screen-only">
        <a href="/reports/new">Report another plate</a>; then it can be counted here.
      </p>
    </>
  )
}

const reportWords = ({ title, good, tried, printedOn }: Tied) => `${good} of ${tried} good: ${title}, ${printedOn}`

function Reports({ rosterId, entryId, reports }: { rosterId: string; entryId: string; reports: Tied[] }) {
  if (reports.length === 0) return <>none yet</>
  return (
    <ul class="plain-list">
      {reports.map((report) => (
        <li key={report.id}>
          <a href={`/reports/${report.id}`}>{reportWords(report)}</a>
          <Form
            id={`untie-${report.id}`}
            class="inline screen-only"
            action={`/rosters/${rosterId}/prints/remove`}
            hidden={{ entryId, reportId: report.id }}
          >
            <Button label={`Don't count it: ${reportWords(report)}`}>Don't count it</Button>
          </Form>
        </li>
      ))}
    </ul>
  )
}
