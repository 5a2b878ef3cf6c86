import { DateWords } from '../parts/date-words.tsx'

export interface Look {
  words: string
  /** The plate with which the wear most likely began. */
  wornSince?: { printedOn: string } | null | undefined
}

interface Props {
  /** Those that want a look, with the reason. */
  printers: { id: string; name: string; look: Look }[]
}

/** Before the next plate: a printer that wants a look, and why. */
export function PrinterWarning({ printers }: Props) {
  return (
    <ul class="printer-warning">
      {printers.map(({ id, name, look }) => (
        <li key={id} class="hurdle">
          <a href={`/printers/${id}`}>{name}</a> wants a look first. <LookWords look={look} />
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
