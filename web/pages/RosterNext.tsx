import { ButtonLink } from '../parts/button.tsx'
import { hoursWords } from '../parts/hours.ts'

export interface NextHere {
  unit: string
  what: 'buy' | 'choose' | 'print' | 'build' | 'paint'
  models: number
  isMore: boolean
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

function wordsOf(next: NextHere): string {
  const { what, models, unit, isMore } = next
  const some = `${models}${isMore ? ' more' : ''} ${unit}`
  if (what === 'print') return `${some}${printWords(next)}`
  const words = {
    buy: `buy the file for ${some}.`,
    choose: `${some}: no file is chosen yet.`,
    build: `build ${models} ${unit}.`,
    paint: `paint ${models} ${unit}.`,
  }
  return words[what]
}

/** " on Blue Lid: one plate, half empty, 4 ¼ h. 22 plates on its film so far." */
function printWords({ plates, hours, plate }: NextHere): string {
  const on = plate?.printer ? ` on ${plate.printer.name}` : ''
  if (plates === null) return `${on}.`
  const list = plates === 1 ? `one plate, ${plate?.full}` : `${plates} plates`
  const film = plate?.filmPlates
    ? ` ${plate.filmPlates === 1 ? '1 plate' : `${plate.filmPlates} plates`} on its film so far.`
    : ''
  return `${on}: ${list}${hours === null ? '' : `, ${hoursWords(hours)}`}.${film}`
}

function Press({ next: { what, plate } }: { next: NextHere }) {
  if (plate)
    return (
      <ButtonLink main href={reportHref(plate)}>
        Print these
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

/** The report form, filled in as the plate will be. */
function reportHref({ fileId, supportSetId, entryId, copies, printer, full }: NonNullable<NextHere['plate']>): string {
  const asked = new URLSearchParams({ fileId, entryId, copies: String(copies), crowding: full })
  if (supportSetId) asked.set('supports', supportSetId)
  if (printer) asked.set('printerId', printer.id)
  return `/reports/new?${asked}`
}
