/** How bad a snag is for whoever prints the file, and what became of it. */
interface Snag {
  severity: 'blocks' | 'costs time' | 'cosmetic'
  minutes?: number | null
  state: 'open' | 'acknowledged by sculptor' | 'fixed'
  /** Label of the revision that it is fixed in. */
  fixedIn?: string | null | undefined
}

/** "Blocks the print", "Costs 15 minutes": what a snag means for who prints it. */
export function severityWords({ severity, minutes }: Pick<Snag, 'severity' | 'minutes'>): string {
  if (severity === 'blocks') return 'Blocks the print'
  if (severity === 'cosmetic') return 'Only a matter of looks'
  if (!minutes) return 'Costs time'
  return minutes === 1 ? 'Costs 1 minute' : `Costs ${minutes} minutes`
}

/** "open", "acknowledged by sculptor", "fixed in revision 3". */
export function stateWords({ state, fixedIn }: Pick<Snag, 'state' | 'fixedIn'>): string {
  return state === 'fixed' && fixedIn ? `fixed in revision ${fixedIn}` : state
}
