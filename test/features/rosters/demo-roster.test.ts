import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { fillDemo } from '../../../server/demo.ts'
import { hashPassword } from '../../../server/features/people/members/passwords.ts'
import { rehearse } from '../../../server/features/rosters/plan/at-start.ts'
import { outsider, type Person, password, startApp } from '../../support/app.ts'
import { planned } from '../../support/rosters.ts'
import { counting } from '../../support/statements.ts'

let watch: ReturnType<typeof counting>
const { app, db, close } = await startApp({
  through: (plain) => {
    watch = counting(plain)
    return watch.db
  },
})
afterAll(close)

interface Planned {
  state: string
  proven: boolean
  offers: { offerId: string; kind: string; price: { amount: string } | null; opens: string[] }[]
  entries: { entryId: string; fileId: string; fits: boolean; plates: number | null }[]
  uncovered: { entryId: string; reason: string }[]
  tooLarge: unknown[]
  totals: { money: { amount: string }; saving: { amount: string } }
  naive: { kind: string; money: { amount: string } }[]
}

describe('the roster of the demo’s asker', () => {
  let asker: Person
  let at: string
  let plan: Planned
  beforeAll(async () => {
    await fillDemo(db, { today: '2026-03-01', passwordHash: await hashPassword(password) })
    asker = outsider(app)
    asker.keep(await asker.post('/sessions', { email: 'asker@demo.example', password }))
    const { items } = (await asker.get('/rosters?limit=100')).json()
    const { id } = items.find(({ name }: { name: string }) => name.startsWith('Both banks'))
    at = `/rosters/${id}`
    plan = (await asker.get(`${at}/plan`)).json()
  })

  test('is rehearsed with the statements of a plan, and nothing is kept', async () => {
    watch.reset()
    await rehearse(watch.db)
    const rehearsed = watch.sent()
    expect(rehearsed.length).toBeGreaterThan(8)
    expect(rehearsed.filter((text) => !/^(select|with|built before)/.test(text))).toEqual([])
    expect((await asker.get(`${at}/plan`)).json()).toEqual(plan)
  })

  test('is planned from the start, as its page says, and a plan made anew is the same', async () => {
    expect(plan).toMatchObject({ state: 'done', outOfDate: false })
    const { body } = await asker.page(at)
    expect(body).toMatch(/class="sum">\d+ % saved</)
    expect(body).toContain('Plan again')
    const { startedAt, endedAt, ...same } = plan as Planned & Record<'startedAt' | 'endedAt', string>
    expect(await planned(asker, at.slice('/rosters/'.length))).toEqual({
      ...same,
      startedAt: expect.not.stringContaining(startedAt),
      endedAt: expect.not.stringContaining(endedAt),
    })
  })

  test('folds its entries once they are in the plan, and while there is none they stand open', async () => {
    const entries = (page: string) => /class="roster-entries"><details class="disclosure"(| open)>/.exec(page)
    expect(entries((await asker.page(at)).body)?.[1]).toBe('')
    const fresh = await asker.submit('/rosters/new', { name: 'Not planned', text: '5 x Fen Wardens' })
    expect(entries((await asker.page(String(fresh.headers.location))).body)?.[1]).toBe(' open')
  })

  test('shows parts that add up to the sums shown with them', async () => {
    const { body } = await asker.page(at)
    const bars = /<figure class="two-bars">.*?<\/figure>/s.exec(body)?.[0] ?? ''
    const cents = (html: string) =>
      [...html.replace(/<[^>]+>/g, '').matchAll(/€(\d+)\.(\d\d)/g)].map(([, whole, rest]) => Number(`${whole}${rest}`))
    const [sums = '', legend = ''] = bars.split('<figcaption>')
    const [, spent = 0, toCome = 0, all] = cents(sums)
    expect(spent + toCome).toBe(all)
    expect(cents(legend).reduce((sum, part) => sum + part, 0)).toBe(all)
  })

  test('takes a membership and two bundles, each for several of its files and cheaper than these one by one', async () => {
    expect(plan.proven).toBe(true)
    const wide = plan.offers.filter(({ kind }) => kind === 'bundle' || kind === 'membership')
    expect(wide.map(({ kind }) => kind).sort()).toEqual(['bundle', 'bundle', 'membership'])
    for (const { offerId, price, opens } of wide) {
      expect(opens.length).toBeGreaterThan(1)
      const singly = opens.map((entryId) => {
        const fileId = plan.entries.find((entry) => entry.entryId === entryId)?.fileId
        return cheapestPurchase(fileId ?? '')
      })
      const all = (await Promise.all(singly)).reduce((sum, minor) => sum + minor, 0)
      expect(100 * Number(price?.amount), offerId).toBeLessThan(all)
    }
  })

  test('fits on the printer, all of it', () => {
    expect(plan.tooLarge).toEqual([])
    expect(plan.entries.length).toBeGreaterThan(7)
    for (const { fits, plates } of plan.entries)
      expect({ fits, plates }).toEqual({ fits: true, plates: expect.any(Number) })
  })

  test('costs less than choosing the cheapest for each entry, and less than the boxes', () => {
    const money = Number(plan.totals.money.amount)
    for (const { kind, money: other } of plan.naive) expect(money, kind).toBeLessThan(Number(other.amount))
    expect(Number(plan.totals.saving.amount)).toBeGreaterThan(money)
  })

  test('has one entry that nobody covers, and the group is asked for it', async () => {
    expect(plan.uncovered).toMatchObject([{ reason: 'no candidate' }])
    const open = await db
      .selectFrom('request')
      .innerJoin('rosterEntry', 'rosterEntry.unitId', 'request.unitId')
      .select('request.state')
      .where('rosterEntry.id', '=', plan.uncovered[0]?.entryId ?? '')
      .execute()
    expect(open).toEqual([{ state: 'open' }])
  })

  /** The least that a file costs alone, in cents; 0 for what can't be had alone, so that it proves nothing. */
  async function cheapestPurchase(fileId: string): Promise<number> {
    const offers = await db
      .selectFrom('offer')
      .innerJoin('offerFile', 'offerFile.offerId', 'offer.id')
      .select('priceMinor')
      .where('fileId', '=', fileId)
      .where('kind', 'in', ['purchase', 'free'])
      .where('priceCurrency', '=', 'EUR')
      .where('state', '<>', 'withdrawn')
      .execute()
    return offers.length === 0 ? 0 : Math.min(...offers.map(({ priceMinor }) => priceMinor))
  }
})
