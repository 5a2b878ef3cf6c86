import { AnswerOpen } from './answer-open.tsx'
import { type AnswerProps, answersKept, hurdleWords, type RankedAnswer } from './answer-words.ts'
import { CostBar } from './cost-bar.tsx'
import { IntervalMark } from './interval-mark.tsx'
import { Money, notToBeHad, Sum } from './money.tsx'
import { remembered } from './remembered.tsx'
import { Shadow } from './shadow.tsx'
import { Tally } from './tally.tsx'

/** One answer in the race: its line in the close-set list, and under it, unfolded, all that speaks for its place. */
export function Answer(props: AnswerProps) {
  const { answer, max, unitBase = null, pxPerMm = 1.5, isOpen = false } = props
  return (
    // One name, so that opening one closes the other.
    <details class="answer" name="answers" open={isOpen}>
      <Line answer={answer} max={max} unitBase={unitBase} pxPerMm={pxPerMm} />
      <AnswerOpen {...props} />
    </details>
  )
}

const Line = remembered(
  ({ answer, max, unitBase, pxPerMm }: Required<Pick<AnswerProps, 'answer' | 'max' | 'unitBase' | 'pxPerMm'>>) => {
    return (
      <summary class="answer-line">
        <span class="mark answer-rank">{answer.rank}</span>
        <span class="answer-shadow">
          <Shadow figure={answer.figure} unitBase={unitBase} pxPerMm={pxPerMm} ruler />
        </span>
        <span class="answer-name">
          <strong class="answer-title">{answer.title}</strong>
          <small>
            {answer.sculptor ?? 'the sculptor asked not to be named'}
            {answer.way && `, ${answer.way}`}
          </small>
          {hurdleWords(answer).map((words) => (
            <span key={words} class="hurdle">
              {words}
            </span>
          ))}
        </span>
        <span class="answer-bar">
          <CostBar breakdown={answer.breakdown} currency={answer.currency} max={max} />
        </span>
        <span class="answer-print">
          <IntervalMark interval={answer.comesOut} isGuess={answer.printSuccess.copies <= 0} />
        </span>
        <span class="answer-votes">
          <Tally votes={answer.votes} />
        </span>
        <Figure answer={answer} />
      </summary>
    )
  },
  answersKept,
)

/** What it costs, large; what its looks are worth beneath, since it is ranked by both. */
function Figure({ answer: { costToTable, breakdown, currency } }: { answer: RankedAnswer }) {
  return (
    <span class="answer-score">
      {costToTable ? <Sum value={costToTable} /> : <small>{notToBeHad}</small>}
      {Number(breakdown.looks) > 0 && (
        <small>
          + <Money value={{ amount: breakdown.looks, currency }} /> looks
        </small>
      )}
    </span>
  )
}
