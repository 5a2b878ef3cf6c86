import type { Worker } from 'node:worker_threads'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { owner, type Person, startApp } from '../../support/app.ts'
import { aHeavyRoster, heavyBudget } from '../../support/heavy-roster.ts'
import { aRoster, isBetter, type MadePlan, type MadeRoster, planned } from '../../support/rosters.ts'
import { until } from '../../support/until.ts'

const threads = new Set<Worker>()
process.on('worker', (thread) => threads.add(thread))

describe('a plan that takes long', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let path: string
  let id: string
  beforeAll(async () => {
    const started = await startApp()
    ;({ app, close } = started)
    odile = await owner(app)
    id = await aHeavyRoster(started.db, odile.id)
    path = `/rosters/${id}/plan`
  })
  afterAll(() => close())

  test('of a long roster lists the files of its first entries, and of any other when asked', async () => {
    const { entries } = (await odile.get(`/rosters/${id}`)).json<MadeRoster>()
    const [first = '', late = ''] = [entries[0]?.id, entries[140]?.id]
    const page = (await odile.page(`/rosters/${id}`)).body
    expect(page).toContain(`name="pins.${first}"`)
    expect(page).not.toContain(`name="pins.${late}"`)
    expect(page).toContain(`<option value="${late}">`)
    const typed = { 'budget.amount': '33.00', 'budget.currency': 'EUR', timeLimitS: 'soon', [`pins.${first}`]: '' }
    const longer = await odile.submit(`/rosters/${id}/plan/entries`, { ...typed, another: late })
    expect(longer.statusCode).toBe(200)
    expect(longer.body).toContain(`name="pins.${late}"`)
    expect(longer.body).toContain('value="33.00"')
    expect(longer.body).toContain('value="soon"')
    // What it was asked for stays listed, and planned with.
    const fileId = /<option value="([0-9a-f-]{36})">/.exec(longer.body.split(`name="pins.${late}"`)[1] ?? '')?.[1] ?? ''
    const refused = await odile.submit(`/rosters/${id}/plan`, { ...typed, [`pins.${late}`]: fileId, another: '' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain(`<option value="${fileId}" selected`)
    const sent = await odile.submit(`/rosters/${id}/plan`, { [`pins.${late}`]: fileId, timeLimitS: '1' })
    expect(sent.statusCode).toBe(303)
    const plan = await waitFor(({ state }) => state === 'done')
    expect(plan.entries.find(({ entryId }) => entryId === late)?.fileId).toBe(fileId)
    expect((await odile.page(`/rosters/${id}`)).body).toContain(`name="pins.${late}"`)
    expect((await odile.page(`/rosters/${id}/plan`)).headers.location).toBe(`/rosters/${id}#plan`)
  })

  const now = async () => (await odile.get(path)).json<MadePlan>()
  const waitFor = (isSo: (plan: MadePlan) => boolean) =>
    until(async () => {
      const plan = await now()
      return isSo(plan) && plan
    })

  test('is answered at once; each better one is shown with its gap, until it is stopped', async () => {
    const answer = await odile.post(path, heavyBudget)
    expect(answer.statusCode).toBe(202)
    const first = answer.json<MadePlan>()
    expect(first).toMatchObject({ state: 'running', proven: false, ended: null })

    const better = await waitFor(isBetter)
    expect(better).toMatchObject({ state: 'running', proven: false, ended: null })
    expect(Number(better.totals.offers.amount)).toBeLessThanOrEqual(40)
    const bounded = await waitFor(({ gap }) => gap !== null)
    expect(bounded.gap).toBeGreaterThan(0)
    expect(bounded.gap).toBeLessThan(1)
    const page = (await odile.page(`/rosters/${id}`)).body
    expect(page).toContain('This is the best plan so far')
    expect(page).toMatch(/At most [\d.]+ % of its sum, looks included, could still be saved/)

    expect((await odile.post(path, {})).statusCode).toBe(409)
    expect((await odile.post(`${path}/stop`)).statusCode).toBe(204)
    const ended = await waitFor(({ state }) => state === 'done')
    expect(ended).toMatchObject({ ended: 'stopped', proven: false })
    expect(ended.uncovered.length).toBeLessThanOrEqual(better.uncovered.length)
    expect((await odile.page(`/rosters/${id}`)).body).toContain('You stopped it')
  })

  test('whose list is changed meanwhile says that it is out of date, and ends all the same', async () => {
    expect((await odile.post(path, heavyBudget)).json()).toMatchObject({ state: 'running', outOfDate: false })
    expect((await odile.post(`/rosters/${id}/entries`, { text: '3 x Peat Colossus' })).statusCode).toBe(201)
    expect(await now()).toMatchObject({ state: 'running', outOfDate: true })
    expect((await odile.page(`/rosters/${id}`)).body).toContain('This plan is out of date')
    await odile.post(`${path}/stop`)
    expect(await waitFor(({ state }) => state === 'done')).toMatchObject({ ended: 'stopped', outOfDate: true })
  })

  test('whose thread dies keeps the best by then, says so, and can be asked for again', async () => {
    expect((await odile.post(path, heavyBudget)).statusCode).toBe(202)
    expect(threads.size).toBeGreaterThan(0)
    const before = await now()
    for (const thread of threads) void thread.terminate()
    const after = await waitFor(({ state }) => state === 'done')
    expect(after).toMatchObject({ ended: 'failed', proven: false })
    expect(after.uncovered.length).toBeLessThanOrEqual(before.uncovered.length)
    expect(after.entries.length).toBeGreaterThanOrEqual(before.entries.length)
    expect((await odile.page(`/rosters/${id}`)).body).toContain('The solver failed')
    const small = await aRoster(odile, { text: '3 x Heavy levy 1' })
    expect(await planned(odile, small.id)).toMatchObject({ state: 'done', ended: 'proven' })
  })
})
