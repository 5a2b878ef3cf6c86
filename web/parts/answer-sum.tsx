import type { RankedAnswer, TermNotes } from './answer-words.ts'
import { type Breakdown, costTerms, saysAnything } from './cost-bar.tsx'
import { SumTable } from './sum-table.tsx'

/** The sum that ranks an answer, as in an account book: what it costs, ruled off; its looks; both together. */
export function AnswerSum({ answer, notes }: { answer: RankedAnswer; notes: TermNotes }) {
  const { currency, costToTable, breakdown, score, title } = answer
  const money = (amount: string | null) => (amount === null ? null : { amount, currency })
  const term = (key: keyof Breakdown, words: string) => ({ words, note: notes[key], value: money(breakdown[key]) })
  const paid = costTerms.filter(({ key }) => key !== 'looks' && saysAnything(breakdown[key]))
  return (
    <SumTable
      caption={`The sum that ranks ${title}`}
      captionHidden
      terms={[
        ...paid.map(({ key, words }) => term(key, words)),
        { words: 'to the table', value: costToTable, isBetween: true },
        ...(saysAnything(breakdown.looks) ? [{ ...term('looks', 'looks, which nobody pays'), isAdded: true }] : []),
      ]}
      total={{ words: 'ranked by', value: money(score) }}
    />
  )
}
