import { timingSafeEqual } from 'node:crypto'
import { invalid } from '../../http/problem.ts'

/**
 * Whether the one who sets up has read the log. Asked only beyond loopback.
 *
 * @throws Problem 422 when the code is missing or wrong
 */
export function checkSetupCode(expected: string | undefined, given: string | undefined): void {
  if (expected === undefined) return
  const [a, b] = [Buffer.from(expected), Buffer.from((given ?? '').trim())]
  if (a.length !== b.length || !timingSafeEqual(a, b))
    throw invalid('/setupCode', 'This is not the code that the log of the service printed at its start.')
}
