import { Disclosure } from '../parts/disclosure.tsx'
import { hoursWords } from '../parts/hours.ts'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { volumeWords } from '../parts/volume.ts'
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
    printingOf: { resin: MoneyValue; plates: MoneyValue; failures: MoneyValue; snagTime: MoneyValue }
    spent: MoneyValue
    all: MoneyValue
    retail: MoneyValue
    withoutRetail: string[]
    saving: MoneyValue | null
    savingShare: number | null
    savingAtLeast: MoneyValue | null
    plates: number
    hours: number
    resinMl: number
    resinG: number
  }
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
      {plan.tooLarge.length > 0 && <TooLarge {...props} />}
      <RosterShopping {...props} />
      <RosterPrinting {...props} />
      <Disclosure summary="What it would come to otherwise">
        <RosterBeside {...plan} />
      </Disclosure>
    </>
  )
}

/** What is still to do, in a sentence or two; what it saves stands at the head of the page. */
function Totals({ plan, names }: Props) {
  const { totals } = plan
  const unknown = someOf([...new Set(totals.withoutRetail.map((id) => names[id] ?? ''))])
  const done = someOf(plan.done.map((id) => names[id] ?? ''))
  const isToDo = Number(totals.money.amount) > 0 || plan.entries.length > 0
  return (
    <p>
      {isToDo ? <StillToDo plan={plan} /> : 'There is nothing left to buy or print.'}
      {done && ` All printed already: ${done}.`}
      {unknown && ` No price of a box is known for ${unknown}, so the saving is not quite known.`}
    </p>
  )
}

function StillToDo({ plan }: { plan: Plan }) {
  const { totals } = plan
  const plates = platesWords(plan)
  return (
    <>
      Still to spend: <Money value={totals.money} />
      {Number(totals.offers.amount) > 0 && (
        <>
          , <Money value={totals.offers} /> of it for files
        </>
      )}
      .{plates && ` To print: ${plates}, ${volumeWords(totals.resinMl)} of resin.`}
    </>
  )
}

const mostNamed = 5

function someOf(names: string[]): string {
  const more = names.length - mostNamed
  return more > 0 ? `${names.slice(0, mostNamed).join(', ')} and ${more} more` : names.join(', ')
}

/** Whatever is not known takes its time all the same. */
function platesWords({ totals, entries }: Plan): string | false {
  if (totals.plates === 0) return false
  const unknown = entries.filter(({ hours }) => hours === null).length
  const words = `${totals.plates === 1 ? '1 plate' : `${totals.plates} plates`}, ${hoursWords(totals.hours)}`
  return unknown === 0 ? words : `${words}, and what is not known of ${unknown === 1 ? 'one' : unknown}`
}

/** So that nobody wonders why the cheapest file is not in the plan. */
function TooLarge({ plan: { tooLarge }, names }: Props) {
  const files = tooLarge.map(({ entryId, title }) => `“${title}” for ${names[entryId] ?? 'an entry that is gone'}`)
  return (
    <p class="hurdle">
      Left out, since none of your printers takes them: {someOf(files)}. A file that you pin is planned all the same.
    </p>
  )
}

function Uncovered({ plan, names, rosterId, canAsk }: Props) {
  return (
    <div id="uncovered" class="stack">
      <h3>
        {plan.uncovered.length === 1 ? 'One entry is not covered' : `${plan.uncovered.length} entries are not covered`}
      </h3>
      <ul>
        {plan.uncovered.map(({ entryId, words }) => (
          <li key={entryId}>
            <strong>{names[entryId] ?? 'An entry that is gone'}:</strong> {words}
          </li>
        ))}
      </ul>
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
