import { counted } from './numbers.ts'

/** How bad a snag is for whoever prints the file, and what became of it. */
interface Snag {
  severity: 'stops the print' | 'costs time' | 'only looks'
  minutes?: number | null
  state: 'open' | 'the sculptor knows' | 'mended'
  /** Label of the revision that it is mended in. */
  mendedIn?: string | null | undefined
}

/** "Stops the print", "Costs 15 minutes": what a snag means for who prints it. */
export function severityWords({ severity, minutes }: Pick<Snag, 'severity' | 'minutes'>): string {
  if (severity === 'stops the print') return 'Stops the print'
  if (severity === 'only looks') return 'Only looks'
  return minutes ? `Costs ${counted(minutes, 'minute')}` : 'Costs time'
}

/** "open", "the sculptor knows", "mended in revision 3". */
export function stateWords({ state, mendedIn }: Pick<Snag, 'state' | 'mendedIn'>): string {
  return state === 'mended' && mendedIn ? `mended in revision ${mendedIn}` : state
}
