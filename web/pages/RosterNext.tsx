import { ButtonLink } from '../parts/blocks.tsx'
import { counted } from '../parts/numbers.ts'
import { reportHref } from '../parts/report-href.ts'
import { platesWords, type Step, stepWords } from '../parts/step-words.ts'

export interface NextHere extends Step {
  plates: number | null
  hours: number | null
  /** The plate that is printed next; null where something else is to be done, or nothing is planned. */
  plate: {
    fileId: string
    supportSetId: string | null
    entryId: string
    copies: number
    printer: { id: string; name: string } | null
    full: string
    filmPlates: number | null
  } | null
}

/** The next thing to do for this roster, and the press that begins it. */
export function RosterNext({ next }: { next: NextHere }) {
  return (
    <div class="next" id="next">
      <p>
        <strong>Next:</strong> {wordsOf(next)}
      </p>
      <Press next={next} />
    </div>
  )
}

/** "print 20 more Fen Wardens on Blue Lid: one plate, half empty, 4 ¼ h. 22 plates on its film so far." */
function wordsOf(next: NextHere): string {
  const { what, plates, hours, plate } = next
  const printer = what === 'print' && plate?.printer ? ` on ${plate.printer.name}` : ''
  const step = `${stepWords(next)}${printer}`
  if (what !== 'print' || plates === null) return `${step}.`
  return `${step}: ${platesWords({ plates, hours, full: plate?.full })}.${filmWords(plate?.filmPlates ?? null)}`
}

const filmWords = (plates: number | null) => (plates ? ` ${counted(plates, 'plate')} on its film so far.` : '')

function Press({ next: { what, plate } }: { next: NextHere }) {
  if (plate)
    return (
      <ButtonLink main href={reportHref(plate)}>
        Report this plate
      </ButtonLink>
    )
  const [href, words] = {
    buy: ['#shopping', 'To the shopping list'],
    choose: ['#plan', 'To the plan'],
    print: ['#plan', 'To the plan'],
    build: ['#count', 'Count what is built'],
    paint: ['#count', 'Count what is painted'],
  }[what] as [string, string]
  return <a href={href}>{words}</a>
}
