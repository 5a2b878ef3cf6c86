import type { Severity, SnagKind, SnagState } from '../../../../db/tables.ts'
import type { FieldError } from '../../../http/problem.ts'
import { supportSnags } from '../../evidence/rules.ts'

interface SnagFacts {
  severity: Severity
  minutes: number | null
  state: SnagState
  mendedInRevisionId: string | null
}

/** What does not fit together in a snag, at its field; empty when all is well. */
export function wrongSnag({ severity, minutes, state, mendedInRevisionId }: SnagFacts): FieldError[] {
  return [
    ...(severity === 'costs time' && minutes === null
      ? [{ path: '/minutes', message: 'How many minutes does it cost each print?' }]
      : []),
    ...(severity !== 'costs time' && minutes !== null
      ? [{ path: '/minutes', message: 'Minutes belong to a snag that costs time.' }]
      : []),
    ...(state === 'mended' && mendedInRevisionId === null
      ? [{ path: '/mendedInRevisionId', message: 'In which revision is it mended?' }]
      : []),
    ...(state !== 'mended' && mendedInRevisionId !== null
      ? [{ path: '/mendedInRevisionId', message: 'Only a mended snag has a revision that mended it.' }]
      : []),
  ]
}

/** The revision that mended the supports, if this snag was on them and is mended: older reports say less about the file. */
export function supportsMendedIn(snag: { kind: SnagKind; mendedInRevisionId: string | null }): string | null {
  const kinds: readonly SnagKind[] = supportSnags
  return kinds.includes(snag.kind) ? snag.mendedInRevisionId : null
}
