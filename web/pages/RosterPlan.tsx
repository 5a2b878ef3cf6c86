import { Disclosure } from '../parts/blocks.tsx'
import type { MoneyValue } from '../parts/money.tsx'
import { type ComparedSums, RosterBeside, type Sums, type ThemeSums } from './RosterBeside.tsx'
import { type PlannedEntry, RosterPrinting } from './RosterPrinting.tsx'
import { type PlannedOffer, RosterShopping, type Tick } from './RosterShopping.tsx'
import { RosterStanding, type Standing } from './RosterStanding.tsx'

export interface Plan extends Standing {
  offers: PlannedOffer[]
  entries: PlannedEntry[]
  /** Entries all of whose models are printed. */
  done: string[]
  uncovered: { entryId: string; words: string }[]
  /** Files that none of the member's printers takes. */
  tooLarge: { entryId: string; fileId: string; title: string }[]
  /** Offers, printing and both together are still to be spent. */
  totals: Sums & {
    printingOf: Record<'resin' | 'plates' | 'failures' | 'snagTime', MoneyValue>
    withoutRetail: string[]
    saving: MoneyValue | null
    savingShare: number | null
    savingAtLeast: MoneyValue | null
  } & Record<'spent' | 'all' | 'retail', MoneyValue> &
    Record<'plates' | 'hours' | 'resinMl' | 'resinG', number>
  themes: ThemeSums[]
  asPlanned: Omit<ComparedSums, 'kind'>
  naive: ComparedSums[]
  withoutRate: { offerId: string; currency: string }[]
  printer: { id: string; name: string } | null
  resin: { name: string; withoutRate: string | null } | null
}

interface Props {
  rosterId: string
  plan: Plan
  /** Whether some entry without a stand-in can still be asked for. */
  canAsk: boolean
  /** What each entry is called. */
  names: Record<string, string>
  tick: Tick
}

/** A plan: how good it is, what to buy, what to print, and what it comes to beside the boxes. */
export function RosterPlan(props: Props) {
  const { plan } = props
  return (
    <>
      <RosterStanding rosterId={props.rosterId} plan={plan} />
      <Totals {...props} />
      {plan.uncovered.length > 0 && <Uncovered {...props} />}
      {plan.tooLarge.length > 0 && <p class="hurdle">{tooLargeWords(props)}</p>}
      <RosterShopping {...props} />
      <RosterPrinting {...props} />
      <Disclosure summary="What it would come to otherwise">
        <RosterBeside {...plan} />
      </Disclosure>
    </>
  )
}

/** What no list below says; what is still to spend stands at the head of the page, beside the boxes. */
function Totals({ plan, names }: Props) {
  const { totals } = plan
  const unknown = someOf([...new Set(totals.withoutRetail.map((id) => names[id] ?? ''))])
  const done = someOf(plan.done.map((id) => names[id] ?? ''))
  const isToDo = Number(totals.money.amount) > 0 || plan.entries.length > 0
  const said = [
    !isToDo && 'There is nothing left to buy or print.',
    done && `All printed already: ${done}.`,
    unknown && `No price of a box is known for ${unknown}, so the saving is not quite known.`,
  ].filter(Boolean)
  return said.length > 0 && <p>{said.join(' ')}</p>
}

const mostNamed = 5

function someOf(names: string[]): string {
  const more = names.length - mostNamed
  return more > 0 ? `${names.slice(0, mostNamed).join(', ')} and ${more} more` : names.join(', ')
}

/** So that nobody wonders why the cheapest file is not in the plan. */
function tooLargeWords({ plan: { tooLarge }, names }: Props): string {
  const files = tooLarge.map(({ entryId, title }) => `“${title}” for ${names[entryId] ?? 'an entry that is gone'}`)
  return `Left out, since none of your printers takes them: ${someOf(files)}. A file that you pin is planned all the same.`
}

function Uncovered({ plan, names, rosterId, canAsk }: Props) {
  return (
    <div id="uncovered">
      <h3>
        {plan.uncovered.length === 1 ? 'One entry is not covered' : `${plan.uncovered.length} entries are not covered`}
      </h3>
      {plan.uncovered.map(({ entryId, words }) => (
        <p key={entryId}>
          <strong>{names[entryId] ?? 'An entry that is gone'}:</strong> {words}
        </p>
      ))}
      <p class="screen-only">
        {canAsk ? (
          <>
            <a href={`/rosters/${rosterId}#ask`}>Ask the group for what is missing</a>, or loosen
          </>
        ) : (
          'To cover more, loosen'
        )}{' '}
        what the plan has to keep to.
      </p>
    </div>
  )
}
