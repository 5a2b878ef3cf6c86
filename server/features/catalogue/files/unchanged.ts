/**
 * What a change form really changes: a field that came back as it was shown is left alone. So nothing is overwritten with
 * the shortened form in which this reader was shown it.
 */
export function withoutUnchanged<Change extends object>(change: Change, shown: object): Change {
  const before = shown as Record<string, unknown>
  const kept = Object.entries(change).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(before[name]))
  return Object.fromEntries(kept) as Change
}
