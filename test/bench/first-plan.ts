import type { Db } from '../../db/connect.ts'
import { makeDemo } from '../../db/demo/index.ts'
import { buildApp } from '../../server/app.ts'
import { refit } from '../../server/features/evidence/queries.ts'
import { hashPassword } from '../../server/features/people/members/passwords.ts'
import { Person, withoutLimits } from '../support/app.ts'
import { aHeavyRoster } from '../support/heavy-roster.ts'
import { noBundles } from '../support/no-assets.ts'
import { aRoster, planEnded } from '../support/rosters.ts'
import { onServer } from './group.ts'
import { cpuMs, type Line, met, quantileOf } from './measure.ts'

/*
 * How much processor time it takes until a plan is answered, all threads of the service together, in the demo group on a
 * PostgreSQL of its own: its largest roster, one of 40 entries over its units, and one of 40 entries of 40 files each.
 * `npm run bench -- first-plan [times]`
 */

const password = 'print it again'
const entries = 40
const goalMs = 300

/** @returns whether each roster's plan is answered within the goal */
export function benchFirstPlan([times = '10']: string[]): Promise<boolean> {
  return onServer(async (db) => {
    await makeDemo(db, { today: '2026-10-01', passwordHash: await hashPassword(password) })
    await refit(db)
    const assets = { folder: import.meta.dirname, manifest: noBundles }
    const app = await buildApp({ db, assets, writeLimits: withoutLimits })
    const largest = await largestRoster(db)
    const person = new Person(app, largest.ownerId)
    person.keep(await person.post('/sessions', { email: largest.email, password }))
    const units = await db.selectFrom('unit').select('name').orderBy('id').execute()
    const names = Array.from({ length: entries }, (_, place) => units[place % units.length]?.name ?? '')
    const rosters = [
      ['the demo’s largest roster', largest.id],
      [
        `${entries} entries over its units`,
        (await aRoster(person, { text: names.map((name) => `5 x ${name}`).join('\n') })).id,
      ],
      [
        `${entries} entries of 40 files each`,
        await aHeavyRoster(db, person.id, { entries, candidates: 40, offers: 600, looksWorthMinor: 0, seed: 1 }),
      ],
    ] as const
    const lines: Line[] = []
    for (const [name, id] of rosters) lines.push(...(await measure(person, name, id, Number(times))))
    await app.close()
    return lines.map(met).every(Boolean)
  })
}

const largestRoster = (db: Db) =>
  db
    .selectFrom('roster')
    .innerJoin('member', 'member.id', 'roster.ownerId')
    .innerJoin('rosterEntry', 'rosterEntry.rosterId', 'roster.id')
    .select(['roster.id', 'ownerId', 'email'])
    .groupBy(['roster.id', 'email'])
    .orderBy((eb) => eb.fn.countAll(), 'desc')
    .executeTakeFirstOrThrow()

async function measure(person: Person, name: string, id: string, times: number): Promise<Line[]> {
  const took: number[] = []
  for (let time = 0; time < times; time++) {
    const before = cpuMs()
    const answer = await person.post(`/rosters/${id}/plan`, { timeLimitS: 1 })
    took.push(cpuMs() - before)
    if (answer.statusCode >= 400) throw new Error(`${name}: ${answer.body}`)
    await planEnded(person, id)
  }
  return [
    { what: `${name}: the first answer, processor time`, value: took[0] ?? Number.NaN, unit: 'ms', goal: goalMs },
    { what: '  median of all', value: quantileOf(took, 0.5), unit: 'ms', goal: goalMs },
  ]
}
