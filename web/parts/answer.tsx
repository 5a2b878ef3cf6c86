import {
  type AnswerProps,
  answersKept,
  hurdleWords,
  printingWords,
  type RankedAnswer,
  type TermNotes,
} from './answer-words.ts'
import { type Breakdown, CostBar, costTerms, saysAnything } from './cost-bar.tsx'
import { Money, notToBeHad, Sum, SumTable } from './money.tsx'
import { hoursWords } from './numbers.ts'
import { Picture } from './picture.tsx'
import { PlateDrawing } from './plate-drawing.tsx'
import { remembered } from './remembered.tsx'
import { Shadow } from './shadow.tsx'
import { besideSupplied, IntervalMark, successWords } from './success-interval.tsx'
import { Tally, VoteForm } from './votes.tsx'

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
            {besideSupplied(answer.printSuccess.kind)}
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

/** Under an answer's line: what it looks like, how it prints, the sum that ranks it, and what can be done. */
function AnswerOpen({ answer, notes = {}, plate, vote, children }: AnswerProps) {
  return (
    <div class="answer-open">
      <Figures answer={answer} notes={notes} plate={plate} />
      <div class="answer-acts">
        {answer.remark && <p class="said">{answer.remark}</p>}
        {answer.covers.length > 0 && <p class="quiet">Has: {answer.covers.join(', ')}.</p>}
        {vote && <VoteForm {...vote} about={answer.title} />}
        {children}
      </div>
    </div>
  )
}

interface FiguresProps {
  answer: RankedAnswer
  notes: TermNotes
  plate: AnswerProps['plate'] | undefined
}

const Figures = remembered(
  ({ answer, notes, plate }: FiguresProps) => (
    <>
      <Looks answer={answer} />
      <div class="answer-printing">
        <h3>
          {answer.printing.copies} to print for {answer.wanted} good
        </h3>
        <p>
          {printingWords(answer)}
          {answer.printing.hours !== null && ` ${hoursWords(answer.printing.hours)} at the printer.`}
        </p>
        {plate && (
          <figure>
            <PlateDrawing {...plate} />
            <figcaption class="quiet">{plate.label}.</figcaption>
          </figure>
        )}
        <p class="quiet success-words">
          {successWords(answer)}
          {answer.doubt && ` ${answer.doubt}`}
        </p>
      </div>
      <div class="answer-money">
        <AnswerSum answer={answer} notes={notes} />
        {answer.badLuckCost && (
          <p class="quiet">
            9 in 10 do no worse than <Money value={answer.badLuckCost} />, looks aside.
          </p>
        )}
      </div>
    </>
  ),
  answersKept,
)

/** A member's picture; while there is none, the way to show one. */
function Looks({ answer: { face, href, title } }: { answer: RankedAnswer }) {
  return (
    <div class="answer-looks">
      {face && <Picture picture={face} />}
      <p>
        <a href={href}>{`All about ${title}`}</a>
        {!face && (
          <>
            <br />
            No picture yet. <a href={`${href}#pictures`}>Printed it? Show it.</a>
          </>
        )}
      </p>
    </div>
  )
}

/** The sum that ranks an answer, as in an account book: what it costs, ruled off; its looks; both together. */
function AnswerSum({ answer, notes }: { answer: RankedAnswer; notes: TermNotes }) {
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
