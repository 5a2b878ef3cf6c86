import type { ComponentChildren } from 'preact'
import { EmptyState } from './empty-state.tsx'

export interface Snag {
  id: string
  /** "unsupported part", "missing option" … */
  kind: string
  severity: 'blocks' | 'costs time' | 'cosmetic'
  part?: string | null
  minutes?: number | null
  detail?: string | null
  state: 'open' | 'acknowledged by sculptor' | 'fixed'
  /** Label of the revision that mended it. */
  fixedIn?: string | null
}

/** "Blocks the print", "Costs 15 minutes", "Only looks": what a snag means for who prints it. */
export function severityWords({ severity, minutes }: Pick<Snag, 'severity' | 'minutes'>): string {
  if (severity === 'blocks') return 'Blocks the print'
  if (severity === 'cosmetic') return 'Only a matter of looks'
  if (!minutes) return 'Costs time'
  return minutes === 1 ? 'Costs 1 minute' : `Costs ${minutes} minutes`
}

function stateWords({ state, fixedIn }: Snag): string {
  if (state === 'open') return 'open'
  if (state === 'fixed') return fixedIn ? `mended in ${fixedIn}` : 'mended'
  return 'the sculptor knows of it'
}

/** @param actions what can be done about one snag, as a form or a link */
export function SnagList({ snags, actions }: { snags: Snag[]; actions?: (snag: Snag) => ComponentChildren }) {
  if (snags.length === 0)
    return <EmptyState words="No snag is known. If you met one, write it down for the next member." />
  return (
    <ul class="snags">
      {snags.map((snag) => (
        <li key={snag.id} class={snag.state === 'fixed' ? 'snag snag-fixed' : 'snag'}>
          <p>
            <strong>{severityWords(snag)}:</strong> {snag.kind}
            {snag.part && `, ${snag.part}`} <span class="quiet">({stateWords(snag)})</span>
          </p>
          {snag.detail && <p class="quiet">{snag.detail}</p>}
          {actions?.(snag)}
        </li>
      ))}
    </ul>
  )
}
