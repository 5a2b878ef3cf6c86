import { type MoneyValue, moneyWords } from '../parts/money.tsx'
import { counted, countedHundredths } from '../parts/numbers.ts'
import { useReader } from '../parts/reader.tsx'
import { type BarTerm, TwoBars } from '../parts/two-bars.tsx'
import type { Plan } from './RosterPlan.tsx'
import type { Spend } from './RosterSpend.tsx'

interface Lead {
  models: number
  /** Whose it is, for everybody but them. */
  owner: string | null
  /** Entries without a stand-in, and the newest open request for each. */
  missing: { models: number; asked: { requestId: string } | null }[]
  isMine: boolean
}

/** "25 models. Three have no stand-in yet: the group is asked." */
export function RosterLead({ models, owner, missing, isMine }: Lead) {
  const without = missing.reduce((sum, entry) => sum + entry.models, 0)
  const asked = missing.find((entry) => entry.asked)?.asked
  const isAllAsked = missing.every((entry) => entry.asked !== null)
  return (
    <>
      {owner !== null && `${owner}’s roster: `}
      {counted(models, 'model')}.
      {without > 0 && (
        <>
          {' '}
          {without === models ? 'None' : numberWord(without)} {without === 1 || without === models ? 'has' : 'have'}{' '}
          {without === models ? 'a' : 'no'} stand-in yet
          {isAllAsked && asked ? (
            <>
              : <a href={missing.length === 1 ? `/requests/${asked.requestId}` : '#list'}>the group is asked</a>.
            </>
          ) : isMine ? (
            <>
              : <a href="#ask">ask the group</a>.
            </>
          ) : (
            '.'
          )}
        </>
      )}
    </>
  )
}

const small = 'None One Two Three Four Five Six Seven Eight Nine Ten Eleven Twelve'.split(' ')
const numberWord = (count: number) => small[count] ?? String(count)

export interface SavingProps {
  /** Null before there is a plan. */
  totals: Pick<Plan['totals'], 'all' | 'retail' | 'saving' | 'savingShare' | 'savingAtLeast'> | null
  hasPlan: boolean
  outOfDate: boolean
}

/** What the roster saves against its boxes, as far as that is known, and the press that plans it. */
export function RosterSum({ totals, hasPlan, outOfDate }: SavingProps) {
  return (
    <div class="saving" id="saving">
      <Saved totals={totals} outOfDate={outOfDate} />
      <button type="submit" form="plan-form" class={hasPlan && !outOfDate ? 'button' : 'button button-main'}>
        {hasPlan ? 'Plan again' : 'Plan this roster'}
      </button>
    </div>
  )
}

/** "77 % saved, €363 less than the boxes" */
export function Saved({ totals, outOfDate }: Pick<SavingProps, 'totals' | 'outOfDate'>) {
  const { locale } = useReader()
  const exactly = (value: MoneyValue) => moneyWords(value, locale)
  const [figure, note] = totals ? savingWords(totals, exactly) : ['not planned yet', 'What to buy, what to print']
  return (
    <p class="saved">
      <span class="sum">{figure}</span>
      <small>
        {note}
        {outOfDate && ', by a plan that is out of date'}
      </small>
    </p>
  )
}

function savingWords(
  totals: NonNullable<SavingProps['totals']>,
  exactly: (value: MoneyValue) => string,
): [string, string] {
  const { all, saving, savingShare, savingAtLeast } = totals
  if (savingAtLeast) return [`${exactly(savingAtLeast)} saved`, 'at least: not every box’s price is known']
  if (!saving || savingShare === null)
    return [exactly(all), `all told; ${Number(totals.retail.amount) > 0 ? 'not every' : 'no'} box’s price is known`]
  const amount = Number(saving.amount)
  if (amount < 0) return [`${exactly({ ...saving, amount: saving.amount.slice(1) })} dearer`, 'than the boxes']
  if (amount === 0) return ['nothing saved', 'as dear as the boxes']
  const hundredth = Number(all.amount) > 0 ? Math.min(99, countedHundredths(savingShare)) : 100
  return [`${hundredth} % saved`, `${exactly(saving)} less than the boxes`]
}

interface BarsProps {
  spend: Spend
  /** Null before there is a plan. */
  totals: Plan['totals'] | null
  /** Whether every entry's box has a known price. */
  isPriced: boolean
}

/** The roster's money: what the boxes would cost beside what is spent and what the plan still asks for. */
export function RosterBars({ spend, totals, isPriced }: BarsProps) {
  const none = { ...spend.actual, amount: '0' }
  const boxes = totals ? totals.retail : spend.box
  const isPart = totals !== null && Number(totals.retail.amount) < Number(spend.box.amount)
  return (
    <div id="money">
      <TwoBars
        boxes={Number(boxes.amount) > 0 ? boxes : null}
        boxesWords={wordsOf(isPart, totals, isPriced)}
        terms={termsOf(spend, totals, none)}
        spent={spend.actual}
        toCome={totals?.money ?? null}
        all={totals?.all ?? spend.actual}
      />
    </div>
  )
}

function termsOf(spend: Spend, totals: Plan['totals'] | null, none: MoneyValue): BarTerm[] {
  const of = totals?.printingOf
  return [
    { words: 'files', kind: 'price', spent: spend.offers, toCome: totals?.offers ?? none },
    { words: 'resin', kind: 'resin', spent: spend.resin, toCome: of?.resin ?? none },
    { words: 'plates', kind: 'plates', spent: spend.plates, toCome: of?.plates ?? none },
    { words: 'failures', kind: 'failures', spent: spend.cleanUp, toCome: of?.failures ?? none },
    { words: 'time for snags', kind: 'snags', spent: spend.mending, toCome: of?.snagTime ?? none },
    { words: 'other', kind: 'other', spent: spend.other, toCome: none },
  ]
}

function wordsOf(isPart: boolean, totals: Plan['totals'] | null, isPriced: boolean): string {
  if (totals ? totals.withoutRetail.length > 0 : !isPriced) return 'the boxes, as far as their price is known'
  return isPart ? 'the boxes of what the plan covers' : 'the boxes'
}
