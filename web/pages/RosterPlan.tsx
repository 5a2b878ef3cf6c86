import { Disclosure } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { DataTable, moneyColumn } from '../parts/data-table.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { type PlannedEntry, RosterPrinting } from './RosterPrinting.tsx'
import { type PlannedOffer, RosterShopping, type Tick } from './RosterShopping.tsx'

export interface Plan extends Standing {
  offers: PlannedOffer[]
  entries: PlannedEntry[]
  /** Entries all of whose models are printed. */
  done: string[]
  uncovered: { entryId: string; reason: string; words: string }[]
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
      <Disclosure summary="Cost of the alternatives">
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
  return `Left out, since none of your printers takes them: ${someOf(files)}. A file that you choose for an entry is planned all the same.`
}

/** What no looser limit would change. */
const beyondLimits = new Set(['no candidate', 'fits no printer'])

function Uncovered({ plan, names, rosterId, canAsk }: Props) {
  return (
    <div id="uncovered">
      <h3>{plan.uncovered.length === 1 ? 'One entry is' : `${plan.uncovered.length} entries are`} not covered</h3>
      {plan.uncovered.map(({ entryId, words }) => (
        <p key={entryId}>
          <strong>{names[entryId] ?? 'An entry that is gone'}:</strong> {words}
        </p>
      ))}
      {canAsk && (
        <p class="screen-only">
          <a href={`/rosters/${rosterId}#ask`}>Ask the group for what is missing</a>.
        </p>
      )}
      {plan.uncovered.some(({ reason }) => !beyondLimits.has(reason)) && (
        <p class="screen-only">To cover more, loosen the limits of the plan.</p>
      )}
    </div>
  )
}

/** How far the planning has come. */
interface Standing {
  state: 'running' | 'done' | 'lost'
  outOfDate: boolean
  ended: 'proven' | 'time limit' | 'stopped' | 'failed' | null
  proven: boolean
  coverProven: boolean
  gap: number | null
  progress: { phase: 'cover' | 'cost'; incumbent: number; bound: number | null } | null
}

/** What is proven, or how far it may be from the best. */
function RosterStanding({ plan, rosterId }: { plan: Standing; rosterId: string }) {
  return (
    <>
      {plan.outOfDate && (
        <p class="hurdle">
          This plan is out of date: since it was begun, the list has changed, a print no longer counts, or the resin’s
          price or weight is different. Plan again.
        </p>
      )}
      <p role="status">{standingWords(plan)}</p>
      {plan.state === 'running' && (
        <div class="actions">
          {/* With a fragment, a second press would only scroll: the address would be the same. */}
          <a class="button" href={`/rosters/${rosterId}`}>
            Look again
          </a>
          <Press id="stop-plan" action={`/rosters/${rosterId}/plan/stop`} button="Stop with the best so far" />
        </div>
      )}
    </>
  )
}

const percent = (share: number) => `${Math.max(0.1, Math.round(share * 1000) / 10)} %`

/** How good the plan is known to be, in a sentence or two. */
function standingWords(plan: Standing): string {
  const { state, ended, proven, coverProven, gap } = plan
  if (state === 'running') return runningWords(plan)
  if (state === 'lost')
    return 'The planning was interrupted because the service stopped. This is the best plan that was known by then; plan again to go on.'
  if (proven) return 'Proven: no other choice of offers and files is better.'
  const why = {
    failed: 'The solver failed; this is the best plan that was known by then.',
    stopped: 'You stopped it; this is the best plan that was found by then.',
    'time limit': 'Time ran out; this is the best plan that was found by then.',
    proven: '',
  }[ended ?? 'proven']
  if (!coverProven) return `${why} Another one may leave out fewer entries.`
  return gap === null ? `${why} How far it is from the best is not known.` : `${why} ${gapWords(gap)}`
}

function runningWords({ gap, progress }: Standing): string {
  const words = 'This is the best plan so far; a better one is still being looked for.'
  if (progress?.phase === 'cover') {
    const { incumbent, bound } = progress
    const least = bound !== null && bound < incumbent ? `, and at least ${Math.max(0, bound)} will be` : ''
    return `${words} First: how few entries does the budget leave out? So far ${incumbent}${least}.`
  }
  return gap === null ? words : `${words} ${gapWords(gap)}`
}

const gapWords = (gap: number) => `At most ${percent(gap)} of its sum, looks included, could still be saved.`

type Sums = Record<'offers' | 'printing' | 'money', MoneyValue>

/** What one would do without planning. */
type ComparedSums = Sums & { kind: string; looks: MoneyValue; decides: MoneyValue; uncovered: number }
/** What each theme would come to. */
type ThemeSums = Sums & { styleTag: string | null; uncovered: number; chosenBy: MoneyValue }

/** What the alternatives cost: money that is paid, and looks that are not. */
function RosterBeside({ naive, themes, asPlanned }: Pick<Plan, 'naive' | 'themes' | 'asPlanned'>) {
  const rows = [
    { words: 'This plan', ...asPlanned },
    ...naive.map((one) => ({ words: naiveWords[one.kind] ?? one.kind, ...one })),
  ]
  return (
    <div id="beside">
      <p class="quiet">
        A plan may cost more money and be liked better. It leaves out as few entries as it can; among such plans the
        smallest sum decides: what you pay plus what its looks lack, minus what a theme or a split is worth to you.
      </p>
      <DataTable
        caption="Other ways of choosing"
        captionHidden
        rows={rows}
        rowKey={({ words }) => words}
        columns={[
          { label: 'Choosing', head: true, cell: ({ words }) => words },
          moneyColumn('Bought', 'offers'),
          moneyColumn('Printed', 'printing'),
          moneyColumn('Together', 'money'),
          moneyColumn('Its looks lack', 'looks'),
          {
            label: 'Sum that decides',
            figures: true,
            cell: ({ decides }) => (
              <strong>
                <Money value={decides} />
              </strong>
            ),
          },
          { label: 'Left out', figures: true, cell: ({ uncovered }) => uncovered || '' },
        ]}
      />
      {themes.length > 1 && <Themes themes={themes} />}
    </div>
  )
}

function Themes({ themes }: Pick<Plan, 'themes'>) {
  return (
    <DataTable
      caption="With and without the theme"
      rows={themes}
      rowKey={({ styleTag }) => styleTag ?? ''}
      columns={[
        { label: 'Theme', head: true, cell: ({ styleTag }) => styleTag ?? 'none' },
        moneyColumn('Together', 'money'),
        moneyColumn('Sum that decides', 'chosenBy'),
        { label: 'Left out', figures: true, cell: ({ uncovered }) => uncovered },
      ]}
    />
  )
}

const naiveWords: Record<string, string> = {
  'cheapest file of each': 'For each entry the cheapest file',
  'cheapest to print of each': 'For each entry the cheapest to buy and print',
  'what there is first': 'What you have first, then the cheapest',
  'offer by offer': 'Offer by offer, as each pays best',
}
