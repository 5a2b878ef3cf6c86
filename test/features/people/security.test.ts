import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { setupTries } from '../../../server/features/people/group/queries.ts'
import { joinTries, newInvitation } from '../../../server/features/people/invitations/schema.ts'
import { passwordTries } from '../../../server/features/people/me/queries.ts'
import { perAccount, perAccountFromPlace, perPlace } from '../../../server/features/people/sessions/queries.ts'
import { mostEntries } from '../../../server/features/rosters/schema.ts'
import type { Allowance } from '../../../server/http/attempts.ts'
import { bodyLimit } from '../../../server/http/body.ts'
import { longest, renewed } from '../../../server/http/session.ts'
import { keptDays } from '../../../server/jobs/tidy.ts'

const text = readFileSync(join(import.meta.dirname, '../../../SECURITY.md'), 'utf8')
const row = (what: string) => text.split('\n').find((line) => line.startsWith(`| ${what} |`))
const words = ({ tries, windowS }: Allowance) => `| ${tries} in ${windowS / 60} minutes |`

test.each([
  ['wrong sign-ins from one place (an IPv4 address, a /64 of IPv6)', perPlace],
  ['wrong sign-ins at one account from one place', perAccountFromPlace],
  ['wrong sign-ins at one account from everywhere', perAccount],
  ["wrong entries of one's own password", passwordTries],
  ['opening and using links, from one place', joinTries],
  ['attempts at setting up, from one place', setupTries],
])('SECURITY.md has the limit of %s (ASVS 6.1.1, 2.1.3)', (what, allowance) => {
  expect(row(what)).toContain(words(allowance))
})

test('SECURITY.md has how long sessions last, and what else it counts (ASVS 7.1.1)', () => {
  const days = (span: { milliseconds(): number }) => span.milliseconds() / 86_400_000
  expect(text).toContain(`after ${days(renewed)} days without use and after ${days(longest)} days in any case`)
  expect(row('a body')).toContain(`${bodyLimit / 1024} KiB`)
  expect(row('a roster')).toContain(`${mostEntries} entries`)
  expect(row('answers to a POST, for its repetition')).toContain(`| ${keptDays} days |`)
  const { expiresInDays, uses } = newInvitation.parse({})
  expect(uses).toBe(1)
  expect(row('an invitation')).toContain(`${expiresInDays} days and one person`)
  const most = { expiresInDays: 90, uses: 50 }
  expect(newInvitation.safeParse(most).success).toBe(true)
  for (const more of [{ expiresInDays: 91 }, { uses: 51 }])
    expect(newInvitation.safeParse({ ...most, ...more }).success).toBe(false)
  expect(row('an invitation')).toContain('at most 90 days, 50 people')
})
