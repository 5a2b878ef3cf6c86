import { DateWords } from '../parts/date-words.tsx'
import { IntervalMark, type PrintSuccess } from '../parts/success-interval.tsx'

export interface WetPlate {
  id: string
  printer: string
  printedOn: string
}

/** Failed plates that were noted in passing and count for nothing until they are told. */
export function WetPlates({ plates }: { plates: WetPlate[] }) {
  return (
    <ul class="plain-list">
      {plates.map(({ id, printer, printedOn }) => (
        <li key={id}>
          The failed plate on {printer}, <DateWords on={printedOn} as="distance" />:{' '}
          <a href={`/plates/${id}/edit`}>
            report it in full<span class="visually-hidden">: {printer}</span>
          </a>
        </li>
      ))}
    </ul>
  )
}

export interface Look {
  words: string
  /** The plate with which the wear most likely began. */
  wornSince?: { printedOn: string } | null | undefined
}

interface WarningProps {
  /** Those that want a look, with the reason. */
  printers: { id: string; name: string; look: Look }[]
}

/** Before the next plate: a printer that wants a look, and why. */
export function PrinterWarning({ printers }: WarningProps) {
  return (
    <ul class="printer-warning">
      {printers.map(({ id, name, look }) => (
        <li key={id} class="hurdle">
          Check <a href={`/printers/${id}`}>{name}</a> before the next plate. <LookWords look={look} />
        </li>
      ))}
    </ul>
  )
}

/** Why a printer wants a look or does not, and since when it most likely did. */
export function LookWords({ look: { words, wornSince } }: { look: Look }) {
  return (
    <>
      {words}
      {wornSince && (
        <>
          {' '}
          Most likely since the plate of <DateWords on={wornSince.printedOn} as="both" />.
        </>
      )}
    </>
  )
}

/** A machine's own success on the ruler of its column; in words where there is no evidence for any. */
export function MachineSuccess({ success }: { success: PrintSuccess }) {
  if (success.copies <= 0) return <span class="quiet">no prints to judge it by</span>
  return <IntervalMark interval={success} isGuess={false} words="come through" />
}
