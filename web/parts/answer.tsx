import type { ComponentChildren } from 'preact'
import { type Breakdown, CostBar, costTerms } from './cost-bar.tsx'
import { Disclosure } from './disclosure.tsx'
import { hoursWords } from './hours.ts'
import { Money, type MoneyValue, notToBeHad } from './money.tsx'
import type { FigureShadow } from './outline.ts'
import { type Basis, type Interval, type PrintSuccess, SuccessInterval } from './success-interval.tsx'
import { SumTable } from './sum-table.tsx'
import { VoteForm, VoteTally } from './votes.tsx'

/** A ranked answer as the API gives it, with what a page adds to show it. */
export interface RankedAnswer {
  rank: number
  href: string
  title: string
  /** Left out where the sculptor asked not to be named. */
  sculptor: string | null
  obtainable: boolean
  /** In words, where it can't be had. */
  whyNotObtainable?: string | null
  /** Null where it can't be had: then it has no price. */
  costToTable: MoneyValue | null
  badLuckCost: MoneyValue | null
  breakdown: Breakdown
  /** Cost to table plus looks, a decimal in the same currency. */
  score: string | null
  currency: string
  /** Copies to print for a good one, on average. */
  attemptsPerGood: number
  /** What there is to print: whole copies, on whole plates. */
  printing: {
    copies: number
    plates: number | null
    hours: number | null
    resinMl: number
    fits: boolean
    expectedFailures: number
  }
  /** All in: file, machine and plate. */
  comesOut: Interval
  /** The machine that `comesOut` is of, in words; one in good order if left out. */
  on?: string
  /** The file alone. */
  printSuccess: PrintSuccess
  basis?: Basis
  doubt?: string
  votes: { yes: number; no: number }
  blockedBy: { kind: string; part?: string | null }[]
  covers: string[]
  missing: string[]
  remark?: string | null
  /** Null while nobody has measured it. */
  shadow: FigureShadow | null
}

export interface AnswerProps {
  answer: RankedAnswer
  /** The dearest answer's score, so that all bars share one scale. */
  max: string
  /** Left out where this reader can't vote. */
  vote?: { action: string; mine: boolean | null; hidden?: Record<string, string> }
  /** How each term came about: "10 copies of 8.4 ml". */
  notes?: Partial<Record<keyof Breakdown, string>>
  /** What else can be done: settle, report a print. */
  children?: ComponentChildren
}

/** One answer to a request: what it costs, whether it prints, whether the group would field it, and why it stands here. */
export function Answer({ answer, max, vote, notes = {}, children }: AnswerProps) {
  const { currency } = answer
  return (
    <article class={answer.obtainable && answer.blockedBy.length === 0 ? 'answer' : 'answer answer-last'}>
      <header class="answer-head">
        <div>
          <h3>
            <span class="answer-rank">{answer.rank}.</span> <a href={answer.href}>{answer.title}</a>
          </h3>
          <p class="quiet">
            {answer.sculptor === null ? 'The sculptor asked not to be named' : `by ${answer.sculptor}`}
          </p>
        </div>
        <Figure answer={answer} />
      </header>
      <Hurdles answer={answer} />
      {answer.remark && <p>{answer.remark}</p>}
      <CostBar breakdown={answer.breakdown} currency={currency} max={max} />
      <div class="answer-evidence">
        <div>
          <h4>Does it print?</h4>
          <SuccessInterval
            comesOut={answer.comesOut}
            printSuccess={answer.printSuccess}
            {...(answer.on && { on: answer.on })}
            {...(answer.basis && { basis: answer.basis })}
            {...(answer.doubt && { doubt: answer.doubt })}
          />
          <p class="quiet">{printingWords(answer)}</p>
        </div>
        <div>
          <h4>Does it look the part?</h4>
          <VoteTally votes={answer.votes} />
          {vote && <VoteForm {...vote} about={answer.title} />}
        </div>
      </div>
      <Disclosure summary="Why this order">
        <Sum answer={answer} notes={notes} />
      </Disclosure>
      {children}
    </article>
  )
}

/** What stands in the way, before any figure: an answer that can't be had or printed is no answer yet. */
function Hurdles({ answer }: { answer: RankedAnswer }) {
  const lines = [
    ...(answer.obtainable ? [] : [answer.whyNotObtainable ?? 'It can no longer be had: every offer was withdrawn.']),
    ...answer.blockedBy.map(({ kind, part }) => `An open snag stops the print: ${part ? `${kind}, ${part}` : kind}.`),
    ...(answer.missing.length > 0
      ? [`Doesn't cover: ${answer.missing.join(', ')}. So it stands after all that cover everything.`]
      : []),
  ]
  return (
    <>
      {lines.length > 0 && (
        <ul class="hurdles">
          {lines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {answer.covers.length > 0 && <p class="quiet">Covers: {answer.covers.join(', ')}.</p>}
    </>
  )
}

/** What it costs, large; what its looks are worth beside it, since it is ranked by both. */
function Figure({ answer: { costToTable, breakdown, currency, printing } }: Pick<AnswerProps, 'answer'>) {
  const looks = <Money value={{ amount: breakdown.looks, currency }} />
  if (!costToTable)
    return (
      <p class="answer-score">
        {notToBeHad}
        <small>so it has no price; ranked by its printing and {looks} for looks</small>
      </p>
    )
  return (
    <p class="answer-score">
      <Money value={costToTable} />
      <small>
        to the table
        {printing.hours !== null && `, in ${hoursWords(printing.hours)} of printing`}
        {Number(breakdown.looks) > 0 ? ',' : ': ranked by that alone'}
      </small>
      {Number(breakdown.looks) > 0 && <small>and {looks} for looks: ranked by both</small>}
    </p>
  )
}

/** The share of copies that is charged for is so much smaller than the one that is said first. */
const farWorse = 0.1

/**
 * "12 copies to print on 1 plate, 126 ml of resin: 1.8 fail on average." Where little is known a file may print far worse
 * than the share that is said first, and those tries are charged as well: then it says so.
 */
export function printingWords({
  printing,
  comesOut,
  attemptsPerGood,
}: Pick<RankedAnswer, 'printing' | 'comesOut' | 'attemptsPerGood'>): string {
  const { copies, plates, resinMl, expectedFailures, fits } = printing
  const what = `${copies} ${copies === 1 ? 'copy' : 'copies'} to print`
  const where = plates === null ? '' : plates === 1 ? ' on 1 plate' : ` on ${plates} plates`
  const failing = `${expectedFailures.toFixed(1)} ${expectedFailures.toFixed(1) === '1.0' ? 'fails' : 'fail'} on average`
  const room = fits ? '' : ' It does not fit on this printer.'
  const doubt = comesOut.mean - 1 / attemptsPerGood > farWorse ? ', since it may print far worse than that' : ''
  return `${what}${where}, ${resinMl} ml of resin: ${failing}${doubt}.${room}`
}

function Sum({ answer, notes }: { answer: RankedAnswer; notes: Partial<Record<keyof Breakdown, string>> }) {
  const { currency, costToTable, badLuckCost, breakdown, score } = answer
  const value = (amount: string | null) => (amount === null ? null : { amount, currency })
  return (
    <>
      <SumTable
        caption="The sum that ranks it"
        terms={costTerms.map(({ key, words }) => ({ words, note: notes[key], value: value(breakdown[key]) }))}
        total={{ words: 'ranked by', value: value(score) }}
      />
      {costToTable && badLuckCost ? (
        <p>
          Without looks it costs <Money value={costToTable} /> to the table. With bad luck more: 9 in 10 do no worse
          than <Money value={badLuckCost} />.
        </p>
      ) : (
        <p>What can't be had has no price. Such answers stand after those that can, by the sum of their other terms.</p>
      )}
    </>
  )
}
