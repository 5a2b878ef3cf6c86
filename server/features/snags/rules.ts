import type { Severity, SnagKind, SnagState } from '../../../db/tables.ts'
import type { FieldError } from '../../http/problem.ts'

/** Snags whose mending makes reports of the older supports say less about the file (scoring, weights of old revisions). */
export const supportSnags: readonly SnagKind[] = ['unsupported part', 'too light supports']

interface SnagFacts {
  severity: Severity
  minutes: number | null
  state: SnagState
  fixedInRevisionId: string | null
}

/** What does not fit together in a snag, at its field; empty when all is well. */
export function wrongSnag({ severity, minutes, state, fixedInRevisionId }: SnagFacts): FieldError[] {
  return [
    ...(severity === 'costs time' && minutes === null
      ? [{ path: '/minutes', message: 'How many minutes does it cost each print?' }]
      : []),
    ...(severity !== 'costs time' && minutes !== null
      ? [{ path: '/minutes', message: 'Minutes belong to a snag that costs time.' }]
      : []),
    ...(state === 'fixed' && fixedInRevisionId === null
      ? [{ path: '/fixedInRevisionId', message: 'In which revision is it fixed?' }]
      : []),
    ...(state !== 'fixed' && fixedInRevisionId !== null
      ? [{ path: '/fixedInRevisionId', message: 'Only a fixed snag has a revision that fixed it.' }]
      : []),
  ]
}
