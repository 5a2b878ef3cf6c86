import type { RankedAnswer, TermNotes } from './answer-words.ts'
import { costTerms, saysAnything } from './cost-bar.tsx'
import { Money, notToBeHad } from './money.tsx'

/** The sum that ranks an answer, as in an account book: what it costs, ruled off; its looks; both together. */
export function AnswerSum({ answer, notes }: { answer: RankedAnswer; notes: TermNotes }) {
  const { currency, costToTable, breakdown, score } = answer
  const value = (amount: string | null) => (amount === null ? notToBeHad : <Money value={{ amount, currency }} />)
  const terms = costTerms.filter(({ key }) => key !== 'looks' && saysAnything(breakdown[key]))
  const looks = saysAnything(breakdown.looks)
  return (
    <table class="sum-table">
      <caption class="visually-hidden">The sum that ranks {answer.title}</caption>
      <tbody>
        {terms.map(({ key, words }) => (
          <tr key={key}>
            <th scope="row">
              {words}
              {notes[key] && <small>{notes[key]}</small>}
            </th>
            <td>{value(breakdown[key])}</td>
          </tr>
        ))}
        <tr class="sum-between">
          <th scope="row">to the table</th>
          <td>{value(costToTable?.amount ?? null)}</td>
        </tr>
        {looks && (
          <tr>
            <th scope="row">
              looks, which nobody pays
              {notes.looks && <small>{notes.looks}</small>}
            </th>
            <td>+ {value(breakdown.looks)}</td>
          </tr>
        )}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">ranked by</th>
          <td>{value(score)}</td>
        </tr>
      </tfoot>
    </table>
  )
}
