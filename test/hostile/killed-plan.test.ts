import { afterAll, beforeAll, expect, test } from 'vitest'
import { openDatabase } from '../../db/connect.ts'
import { freshPlace } from '../support/database.ts'
import { aHeavyRoster, heavyBudget } from '../support/heavy-roster.ts'
import { isBetter, type MadePlan, type MadeRoster } from '../support/rosters.ts'
import { until } from '../support/until.ts'
import { Client } from './client.ts'
import { buildProgram, type Program, type Running, startService } from './service.ts'

const { place, remove } = await freshPlace()
let program: Program
let service: Running
let odile: Client
let path: string
let roster: MadeRoster
beforeAll(async () => {
  program = await buildProgram()
  service = await startService(program, place)
  odile = new Client(() => service.address)
  await odile.setUp()
  const { id: memberId } = (await odile.get('/me')).json() as { id: string }
  // Only one process at a time may open the embedded database.
  await service.end('SIGTERM')
  const { db, close } = await openDatabase(place)
  path = `/rosters/${await aHeavyRoster(db, memberId)}`
  await close()
  service = await startService(program, place)
  roster = (await odile.get(path)).json() as unknown as MadeRoster
})
afterAll(async () => {
  await service.end('SIGKILL')
  program.remove()
  await remove()
})

const plan = async () => (await odile.get(`${path}/plan`)).json() as unknown as MadePlan
const waitFor = (isSo: (plan: MadePlan) => boolean) =>
  until(async () => {
    const found = await plan()
    return isSo(found) && found
  })

/** A roster without what the plan decides: what to buy and what to print. */
const listOf = ({ entries, ...rest }: MadeRoster) => ({
  ...rest,
  entries: entries.map((entry) => ({ ...entry, state: undefined })),
})

test('killed in the middle of a plan, it shows the best by then as interrupted, and plans again', async () => {
  const begun = await odile.post(`${path}/plan`, heavyBudget)
  expect(begun.status).toBe(202)
  const better = await waitFor(isBetter)
  expect(better.state).toBe('running')

  await service.end('SIGKILL')
  service = await startService(program, place)
  const after = await plan()
  expect(['running', 'lost']).toContain(after.state)
  const lost = await waitFor(({ state }) => state === 'lost')
  expect(lost).toMatchObject({ ended: null, proven: false, outOfDate: false })
  // What was shown is still there, or one that was found after it.
  expect(lost.uncovered.length).toBeLessThanOrEqual(better.uncovered.length)
  expect(lost.entries.length + lost.uncovered.length).toBe(roster.entries.length)
  expect(Number(lost.totals.offers.amount)).toBeLessThanOrEqual(40)
  expect(listOf((await odile.get(path)).json() as unknown as MadeRoster)).toEqual(listOf(roster))

  expect((await odile.post(`${path}/plan`, heavyBudget)).status).toBe(202)
  expect((await odile.post(`${path}/plan/stop`)).status).toBe(204)
  expect(await waitFor(({ state }) => state === 'done')).toMatchObject({ ended: 'stopped', proven: false })
})

test('told to stop in the middle of a plan, it keeps the best by then as stopped before it goes', async () => {
  expect((await odile.post(`${path}/plan`, heavyBudget)).status).toBe(202)
  expect(await service.end('SIGTERM')).toBe(0)
  service = await startService(program, place)
  const kept = await plan()
  expect(kept).toMatchObject({ state: 'done', ended: 'stopped', proven: false })
  expect(kept.entries.length + kept.uncovered.length).toBe(roster.entries.length)
})
