import type { Severity, SnagKind, SnagState } from '../../../../db/tables.ts'
import { type FieldError, wrongIf } from '../../../http/problem.ts'
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
    ...wrongIf(severity === 'costs time' && minutes === null, '/minutes', 'How many minutes does it cost each print?'),
    ...wrongIf(
      severity !== 'costs time' && minutes !== null,
      '/minutes',
      'Leave this empty unless the snag costs time.',
    ),
    ...wrongIf(
      state === 'mended' && mendedInRevisionId === null,
      '/mendedInRevisionId',
      'In which revision is it mended?',
    ),
    ...wrongIf(
      state !== 'mended' && mendedInRevisionId !== null,
      '/mendedInRevisionId',
      'Leave this empty unless the snag is mended.',
    ),
  ]
}

/** The revision that mended the supports, if this snag was on them and is mended: older reports say less about the file. */
export function supportsMendedIn(snag: { kind: SnagKind; mendedInRevisionId: string | null }): string | null {
  const kinds: readonly SnagKind[] = supportSnags
  return kinds.includes(snag.kind) ? snag.mendedInRevisionId : null
}
