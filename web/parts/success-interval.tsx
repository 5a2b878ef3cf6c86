import { counted, hundredths } from './numbers.ts'

/** A chance from 0 to 1 with its 80 % interval. */
export interface Interval {
  mean: number
  low: number
  high: number
}

/** How well a file prints by itself: the chance that a copy does not fail by it, and how many copies speak for that. */
export interface PrintSuccess extends Interval {
  /** Reported copies, weighted; a fraction. */
  copies: number
  /** The supports that it is of. */
  kind?: string
}

/** ", own supports": what a success is of, unless it is of the supports as supplied, which goes without saying. */
export const besideSupplied = (kind = 'as supplied'): string => (kind === 'as supplied' ? '' : `, ${kind}`)

/** What a guess rests on while nobody has reported: the sculptor's other files, the group's prints, or what is usual. */
export type Basis = 'sculptor' | 'group' | 'nothing'

export interface SuccessProps {
  /** All in: file, machine and plate. */
  comesOut: Interval
  /** The file alone. */
  printSuccess: PrintSuccess
  basis?: Basis
  /** The machine that `comesOut` is of. */
  on?: string
}

const inOrder = 'a printer in good order'

/** "About 8 of 10 come out good on a printer in good order; the file alone 84-94 of 100 (counts as 46 copies)." */
export function successWords({ comesOut, printSuccess, basis = 'group', on = inOrder }: SuccessProps): string {
  const share = `${shareWords(comesOut.mean)} good on ${on}`
  const alone = `the file alone ${rangeWords(printSuccess)}`
  if (printSuccess.copies <= 0 && basis === 'nothing')
    return `Nobody here has printed anything yet. Usually about ${share}, ${alone}.`
  return `About ${share}; ${alone} (${evidenceWords(printSuccess.copies, basis)}).`
}

function evidenceWords(copies: number, basis: Basis): string {
  if (copies <= 0)
    return basis === 'sculptor'
      ? "no reports yet: going by this sculptor's other files"
      : "no reports of this sculptor's files yet: going by what the group prints"
  const whole = Math.round(copies)
  if (whole === 0) return 'hardly a copy reported yet'
  return `counts as ${counted(whole, 'copy', 'copies')}`
}

/** "8 of 10 come out": of a hundred where it is nearly all or nearly none, never quite all or none of them. */
export function shareWords(share: number): string {
  const tenth = Math.round(share * 10)
  const [number, of] = tenth > 0 && tenth < 10 ? [tenth, 10] : [hundredths(share), 100]
  return `${number} of ${of} ${number === 1 ? 'comes' : 'come'} out`
}

/** "84-94 of 100". */
export function rangeWords({ low, high }: Interval): string {
  const [from, to] = [hundredths(low), hundredths(high)]
  return from === to ? `about ${from} of 100` : `${from}-${to} of 100`
}
