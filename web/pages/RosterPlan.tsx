import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { Form } from '../parts/form.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { safeLink } from '../parts/offer-line.tsx'
import { Facts } from '../parts/section.tsx'

interface Sums {
  offers: MoneyValue
  printing: MoneyValue
  money: MoneyValue
}

interface PlannedOffer {
  offerId: string | null
  kind: 'purchase' | 'bundle' | 'membership' | 'free' | 'owned'
  title: string
  price: MoneyValue
  ownPrice: MoneyValue | null
  months: number | null
  url: string | null
  linkWithheld: boolean
  opens: string[]
  files: { id: string; title: string }[]
  bought: boolean
}

interface PlannedEntry {
  entryId: string
  fileId: string
  title: string
  supportKind: string
  models: number
  copies: number
  printing: MoneyValue
  hours: number | null
  plates: number | null
  hoursPerPlate: number | null
  resinMl: number
  resinG: number
  fits: boolean
  share: number
}

export interface Plan {
  state: 'running' | 'done' | 'lost'
  outOfDate: boolean
  ended: 'proven' | 'time limit' | 'stopped' | 'failed' | null
  proven: boolean
  coverProven: boolean
  gap: number | null
  progress: { phase: 'cover' | 'cost'; gap: number | null } | null
  offers: PlannedOffer[]
  entries: PlannedEntry[]
  uncovered: { entryId: string; words: string }[]
  totals: Sums & {
    looks: MoneyValue
    retail: MoneyValue
    withoutRetail: string[]
    saving: MoneyValue | null
    savingShare: number | null
    plates: number
    hours: number
    resinMl: number
    resinG: number
  }
  themes: (Sums & { styleTag: string | null; uncovered: number; chosenBy: MoneyValue })[]
  naive: (Sums & { kind: string; looks: MoneyValue; uncovered: number })[]
  withoutRate: { offerId: string; currency: string }[]
  printer: { id: string; name: string } | null
}

interface Props {
  rosterId: string
  plan: Plan
  /** What each entry is called. */
  names: Record<string, string>
}

/** A plan: how good it is, what to buy, what to print, and what it comes to beside the boxes. */
export function RosterPlan(props: Props) {
  const { plan } = props
  return (
    <div class="stack" id="planned" data-poll={plan.state === 'running' ? '1500' : undefined}>
      <Standing {...props} />
      <Totals {...props} />
      {plan.uncovered.length > 0 && <Uncovered {...props} />}
      <ShoppingList {...props} />
      <PrintingList {...props} />
      <Beside {...props} />
    </div>
  )
}

/** What is proven, or how far it may be from the best. */
function Standing({ plan, rosterId }: Props) {
  return (
    <>
      {plan.outOfDate && (
        <p class="hurdle">The list was changed after this plan was begun: it is out of date. Plan again.</p>
      )}
      <p role="status">{standingWords(plan)}</p>
      {plan.state === 'running' && (
        <div class="actions">
          <a class="button" href={`/rosters/${rosterId}#plan`}>
            Look again
          </a>
          <Form id="stop-plan" class="inline" action={`/rosters/${rosterId}/plan/stop`}>
            <Button>Stop with the best so far</Button>
          </Form>
        </div>
      )}
    </>
  )
}

const percent = (share: number) => `${Math.max(0.1, Math.round(share * 1000) / 10)} %`

export function standingWords({ state, ended, proven, coverProven, gap, progress }: Plan): string {
  if (state === 'lost')
    return 'The process that was solving this plan is gone. What is shown is the best that was known before; plan again.'
  if (state === 'running') {
    const shown = 'A first, quick plan is shown; a better one is still being looked for.'
    if (progress?.phase === 'cover') return `${shown} First: which plan leaves out the fewest entries?`
    return progress?.gap == null
      ? shown
      : `${shown} The best so far is at most ${percent(progress.gap)} from the best there is.`
  }
  if (proven) return 'No other choice of offers and files comes better: that is proven.'
  const why = {
    failed: 'The solver failed; this is the best plan that was known by then.',
    stopped: 'You stopped it; this is the best plan that was found by then.',
    'time limit': 'The time was over; this is the best plan that was found by then.',
    proven: '',
  }[ended ?? 'proven']
  if (!coverProven) return `${why} Another one may leave out fewer entries.`
  const how =
    gap === null
      ? 'How far it is from the best is not known.'
      : `At most ${percent(gap)} of its sum, looks included, could still be saved.`
  return `${why} ${how}`
}

function Totals({ plan: { totals }, names }: Props) {
  const unknown = totals.withoutRetail.map((id) => names[id] ?? '').join(', ')
  return (
    <Facts
      facts={[
        ['To be bought', <Money key="offers" value={totals.offers} />],
        ['To be printed', <Money key="printing" value={totals.printing} />],
        [
          'Together',
          <strong key="money">
            <Money value={totals.money} />
          </strong>,
        ],
        ['The boxes of what it covers', <Money key="retail" value={totals.retail} />],
        [
          'Saved against the boxes',
          totals.saving && <Saving key="saving" value={totals.saving} share={totals.savingShare} />,
        ],
        ['Saving not known', unknown && `no price of a box is known for ${unknown}`],
        ['Plates and hours', totals.plates > 0 && `${totals.plates} plates, ${hoursWords(totals.hours)}`],
        ['Resin, failures included', `${totals.resinMl} ml, ${totals.resinG} g`],
      ]}
    />
  )
}

function Saving({ value, share }: { value: MoneyValue; share: number | null }) {
  return (
    <>
      <Money value={value} />
      {share !== null && ` (${Math.round(share * 100)} of 100)`}
    </>
  )
}

/** "4 h 15 min" */
export function hoursWords(hours: number): string {
  const minutes = Math.round(hours * 60)
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

function Uncovered({ plan, names, rosterId }: Props) {
  return (
    <div id="uncovered">
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
        <a href={`/rosters/${rosterId}#ask`}>Ask the group for what is missing</a>, or loosen what the plan has to keep
        to.
      </p>
    </div>
  )
}

const kindWords = {
  purchase: 'purchase',
  bundle: 'bundle',
  membership: 'membership',
  free: 'free',
  owned: 'you have it',
}

function ShoppingList({ plan: { offers, withoutRate }, names }: Props) {
  return (
    <div id="shopping">
      <h3>Shopping list</h3>
      {offers.length === 0 ? (
        <p>There is nothing to buy.</p>
      ) : (
        <DataTable
          caption="Shopping list"
          captionHidden
          rows={offers}
          rowKey={({ offerId }) => offerId ?? 'archive'}
          columns={[
            { label: 'Offer', head: true, cell: (offer) => <OfferCell offer={offer} /> },
            {
              label: 'Opens',
              wide: true,
              cell: ({ files, opens }) => <Opens files={files} entries={opens.map((id) => names[id] ?? '')} />,
            },
            { label: 'As offered', figures: true, cell: (offer) => <OwnPrice offer={offer} /> },
            { label: 'Price', figures: true, cell: ({ price }) => <Money value={price} /> },
          ]}
        />
      )}
      {withoutRate.length > 0 && (
        <p class="hurdle">
          {withoutRate.length === 1 ? 'One offer was' : `${withoutRate.length} offers were`} left out, since the group
          keeps no rate for {[...new Set(withoutRate.map(({ currency }) => currency))].join(', ')}.
        </p>
      )}
    </div>
  )
}

function OfferCell({ offer }: { offer: PlannedOffer }) {
  const link = safeLink(offer.url)
  const title = offer.offerId ? <a href={`/offers/${offer.offerId}`}>{offer.title}</a> : offer.title
  return (
    <>
      {title} <small>{offer.bought ? 'bought' : kindWords[offer.kind]}</small>
      {link && (
        <p>
          <a class="offer-link" href={link} rel="noopener noreferrer nofollow external">
            Go to the offer
          </a>
        </p>
      )}
      {offer.linkWithheld && <p class="quiet">Its sculptor asked not to be linked: a steward can tell you where.</p>}
    </>
  )
}

function Opens({ files, entries }: { files: PlannedOffer['files']; entries: string[] }) {
  return (
    <>
      {files.map(({ id, title }, index) => (
        <>
          {index > 0 && ', '}
          <a href={`/files/${id}`}>{title}</a>
        </>
      ))}
      <small> for {entries.join(', ')}</small>
    </>
  )
}

function OwnPrice({ offer: { ownPrice, kind, months } }: { offer: PlannedOffer }) {
  if (!ownPrice || kind === 'owned') return <>nothing to pay</>
  return (
    <>
      <Money value={ownPrice} />
      {kind === 'membership' && ` a month, for ${months === 1 ? '1 month' : `${months} months`}`}
    </>
  )
}

function PrintingList({ plan: { entries, printer }, names }: Props) {
  if (entries.length === 0) return null
  return (
    <div id="printing" class="stack">
      <h3>Printing list</h3>
      <p class="quiet">
        {printer
          ? `On ${printer.name}, each plate with one file.`
          : 'Plates and hours are not known: you have no printer here yet.'}{' '}
        Copies count the failures to be expected.
      </p>
      <DataTable
        caption="Printing list"
        captionHidden
        rows={entries}
        rowKey={({ entryId, fileId }) => `${entryId}${fileId}`}
        columns={[
          { label: 'Entry', head: true, cell: ({ entryId, models }) => `${models} x ${names[entryId] ?? ''}` },
          { label: 'From', wide: true, cell: (entry) => <FromCell entry={entry} /> },
          { label: 'Copies', figures: true, cell: ({ copies }) => copies },
          { label: 'Plates', figures: true, cell: ({ plates }) => plates ?? 'not known' },
          { label: 'Hours', figures: true, cell: (entry) => <Hours entry={entry} /> },
          { label: 'Resin', figures: true, cell: ({ resinMl, resinG }) => `${resinMl} ml, ${resinG} g` },
          { label: 'Cost', figures: true, cell: ({ printing }) => <Money value={printing} /> },
        ]}
      />
      <Caution />
    </div>
  )
}

function FromCell({ entry }: { entry: PlannedEntry }) {
  return (
    <>
      <a href={`/files/${entry.fileId}`}>{entry.title}</a> <small>{entry.supportKind}</small>
      {!entry.fits && <p class="hurdle">It does not fit on this printer.</p>}
    </>
  )
}

function Hours({ entry: { hours, hoursPerPlate, plates } }: { entry: PlannedEntry }) {
  if (hours === null) return <>not known</>
  return (
    <>
      {hoursWords(hours)}
      {plates !== null && plates > 1 && hoursPerPlate !== null && <small> ({hoursWords(hoursPerPlate)} a plate)</small>}
    </>
  )
}

/** What it would come to otherwise: money that is paid, and looks that are not. */
function Beside({ plan: { naive, themes, totals, uncovered } }: Props) {
  const rows = [
    { words: 'This plan', ...totals, uncovered: uncovered.length },
    ...naive.map((one) => ({ words: naiveWords[one.kind] ?? one.kind, ...one })),
  ]
  return (
    <div id="beside">
      <h3>What it would come to otherwise</h3>
      <p class="quiet">
        A plan may cost more money and be liked better: it is chosen by what is paid and what its looks lack, together.
      </p>
      <DataTable
        caption="Other ways of choosing"
        captionHidden
        rows={rows}
        rowKey={({ words }) => words}
        columns={[
          { label: 'Choosing', head: true, cell: ({ words }) => words },
          { label: 'Bought', figures: true, cell: ({ offers }) => <Money value={offers} /> },
          { label: 'Printed', figures: true, cell: ({ printing }) => <Money value={printing} /> },
          { label: 'Together', figures: true, cell: ({ money }) => <Money value={money} /> },
          { label: 'Its looks lack', figures: true, cell: ({ looks }) => <Money value={looks} /> },
          { label: 'Left out', figures: true, cell: ({ uncovered: left }) => left },
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
        { label: 'Together', figures: true, cell: ({ money }) => <Money value={money} /> },
        { label: 'Chosen by', figures: true, cell: ({ chosenBy }) => <Money value={chosenBy} /> },
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
