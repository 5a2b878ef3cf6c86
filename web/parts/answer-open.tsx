import { AnswerSum } from './answer-sum.tsx'
import { type AnswerProps, answersKept, printingWords, type RankedAnswer, type TermNotes } from './answer-words.ts'
import { Money } from './money.tsx'
import { hoursWords } from './numbers.ts'
import { Picture } from './picture.tsx'
import { PlateDrawing } from './plate-drawing.tsx'
import { remembered } from './remembered.tsx'
import { successWords } from './success-interval.tsx'
import { VoteForm } from './votes.tsx'

/** Under an answer's line: what it looks like, how it prints, the sum that ranks it, and what can be done. */
export function AnswerOpen({ answer, notes = {}, plate, vote, children }: AnswerProps) {
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
