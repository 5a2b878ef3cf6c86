import type { ComponentChildren } from 'preact'
import { type Breakdown, CostBar, costTerms } from './cost-bar.tsx'
import { Disclosure } from './disclosure.tsx'
import { Money, type MoneyValue } from './money.tsx'
import { type Basis, type PrintSuccess, SuccessInterval } from './success-interval.tsx'
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
  costToTable: MoneyValue
  badLuckCost: MoneyValue
  breakdown: Breakdown
  /** Cost to table plus looks, a decimal in the same currency. */
  score: string
  printSuccess: PrintSuccess
  basis?: Basis
  doubt?: string
  votes: { yes: number; no: number }
  blockedBy: { kind: string; part?: string | null }[]
  covers: string[]
  missing: string[]
  remark?: string | null
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
  const { currency } = answer.costToTable
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
        <p class="answer-score">
          <Money value={{ amount: answer.score, currency }} />
          <small>to the table, looks included</small>
        </p>
      </header>
      <Hurdles answer={answer} />
      {answer.remark && <p>{answer.remark}</p>}
      <CostBar breakdown={answer.breakdown} currency={currency} max={max} />
      <div class="answer-evidence">
        <div>
          <h4>Does it print?</h4>
          <SuccessInterval
            success={answer.printSuccess}
            {...(answer.basis && { basis: answer.basis })}
            {...(answer.doubt && { doubt: answer.doubt })}
          />
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
    ...answer.blockedBy.map(({ kind, part }) => `An open snag blocks the print: ${part ? `${kind}, ${part}` : kind}.`),
    ...(answer.missing.length > 0 ? [`Doesn't cover: ${answer.missing.join(', ')}.`] : []),
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

function Sum({ answer, notes }: { answer: RankedAnswer; notes: Partial<Record<keyof Breakdown, string>> }) {
  const { currency } = answer.costToTable
  return (
    <>
      <SumTable
        caption="The sum that ranks it"
        terms={costTerms.map(({ key, words }) => ({
          words,
          note: notes[key],
          value: { amount: answer.breakdown[key], currency },
        }))}
        total={{ words: 'ranked by', value: { amount: answer.score, currency } }}
      />
      <p>
        Without looks it costs <Money value={answer.costToTable} /> to the table. With bad luck more: 9 in 10 do no
        worse than <Money value={answer.badLuckCost} />.
      </p>
    </>
  )
}
