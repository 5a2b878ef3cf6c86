import type { ComponentChildren } from 'preact'
import { AnswerOpen } from './answer-open.tsx'
import type { TermNotes } from './answer-sum.tsx'
import { hurdleWords, type RankedAnswer } from './answer-words.ts'
import type { Base } from './base-size.tsx'
import { CostBar } from './cost-bar.tsx'
import { IntervalMark } from './interval-mark.tsx'
import { Money, notToBeHad } from './money.tsx'
import type { PlateDrawingProps } from './plate-drawing.tsx'
import { Shadow } from './shadow.tsx'
import { Tally } from './tally.tsx'

export interface AnswerProps {
  answer: RankedAnswer
  /** The dearest answer's score, so that all bars share one scale. */
  max: string
  /** The unit's base, drawn as a ring around each answer's own. */
  unitBase?: Base | null
  /** The one scale of all shadows in the race. */
  pxPerMm?: number
  /** Left out where this reader can't vote. */
  vote?: { action: string; mine: boolean | null; hidden?: Record<string, string> }
  /** How each term came about: "10 copies of 8.4 ml". */
  notes?: TermNotes
  /** The plates as they will be packed, where the foot print is known. */
  plate?: PlateDrawingProps
  isOpen?: boolean
  /** What else can be done: settle, report a print. */
  children?: ComponentChildren
}

/** One answer in the race: its line in the close-set list, and under it, unfolded, all that speaks for its place. */
export function Answer(props: AnswerProps) {
  const { answer, max, unitBase = null, pxPerMm = 1.5, isOpen = false } = props
  return (
    // One name, so that opening one closes the other.
    <details class="answer" name="answers" open={isOpen}>
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
          <CostBar breakdown={answer.breakdown} currency={answer.currency} max={max} legend="none" />
        </span>
        <span class="answer-print">
          <IntervalMark interval={answer.comesOut} isGuess={answer.printSuccess.copies <= 0} />
        </span>
        <span class="answer-votes">
          <Tally votes={answer.votes} />
        </span>
        <Figure answer={answer} />
      </summary>
      <AnswerOpen {...props} />
    </details>
  )
}

/** What it costs, large; what its looks are worth beneath, since it is ranked by both. */
function Figure({ answer: { costToTable, breakdown, currency } }: { answer: RankedAnswer }) {
  return (
    <span class="answer-score">
      {costToTable ? (
        <strong class="sum">
          <Money value={costToTable} />
        </strong>
      ) : (
        <small>{notToBeHad}</small>
      )}
      {Number(breakdown.looks) > 0 && (
        <small>
          + <Money value={{ amount: breakdown.looks, currency }} /> looks
        </small>
      )}
    </span>
  )
}
