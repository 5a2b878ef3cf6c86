import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, outsider } from '../../support/app.ts'
import { aFile, anOffer, aSnag, aUnit, made } from '../../support/catalogue.ts'
import { aPrinter } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'
import {
  aRoster,
  aStandIn,
  euros,
  type Group,
  planEnded,
  planned,
  startGroup,
  twoUnits,
} from '../../support/rosters.ts'

describe('a plan', () => {
  let { app, db, close, odile, ada, ben } = {} as Group
  beforeAll(async () => {
    ;({ app, db, close, odile, ada, ben } = await startGroup())
    await aPrinter(ada)
  })
  afterAll(() => close())

  test('buys together what is dearer one by one, and adds up', async () => {
    const { roster, units, files, bundle, entryIds } = await twoUnits(ada)
    const answer = await ada.post(`/rosters/${roster.id}/plan`, {})
    // The greedy plan, before the solver has said anything.
    expect(answer.statusCode).toBe(202)
    expect(answer.json()).toMatchObject({ state: 'running', ended: null, proven: false, progress: null, uncovered: [] })
    await planEnded(ada, roster.id)
    const plan = (await ada.get(`/rosters/${roster.id}/plan`)).json()
    expect(plan).toMatchObject({
      state: 'done',
      ended: 'proven',
      proven: true,
      gap: 0,
      outOfDate: false,
      uncovered: [],
    })
    expect(plan.offers).toMatchObject([
      { offerId: bundle, kind: 'bundle', price: euros('12.00'), url: 'https://stall.example/both', opens: entryIds },
    ])
    expect(plan.entries.map((one: { fileId: string }) => one.fileId)).toEqual(files.map(({ id }) => id))
    expect(plan.totals).toMatchObject({ offers: euros('12.00'), retail: euros('450.00') })
    const { offers, printing, money, retail, saving } = plan.totals
    expect(Number(money.amount)).toBeCloseTo(Number(offers.amount) + Number(printing.amount), 9)
    expect(Number(saving.amount)).toBeCloseTo(Number(retail.amount) - Number(money.amount), 9)
    expect(plan.naive[0]).toMatchObject({ kind: 'cheapest file of each', offers: euros('18.00') })

    // The same sums as the ranking of the unit's answers, which has its own tests.
    for (const [index, { id }] of units.entries()) {
      const [best] = (await ada.get(`/units/${id}/answers?wanted=5&own=true`)).json().items
      const alone = Number(best.costToTable.amount) - Number(best.breakdown.price)
      expect(Number(plan.entries[index].printing.amount)).toBeCloseTo(alone, 9)
      const { copies, resinMl, expectedFailures } = plan.entries[index]
      expect(copies).toBe(Math.ceil(5 * best.attemptsPerGood))
      // Resin is that of the whole copies, failures are the average that is charged; the ranking says the same.
      expect(resinMl).toBeCloseTo(9.5 * copies, 6)
      expect({ copies, resinMl, expectedFailures }).toEqual({
        copies: best.printing.copies,
        resinMl: best.printing.resinMl,
        expectedFailures: best.printing.expectedFailures,
      })
    }
    // 45 mm at 0.05 mm are 900 layers of 2.4 + 7.5 s, and five of 30 s instead of 2.4 s.
    expect(plan.entries[0]).toMatchObject({ plates: 1, hours: (900 * 9.9 + 5 * 27.6) / 3600, fits: true })
    expect((await ada.get(`/rosters/${roster.id}/plan`)).json()).toEqual(plan)
  })

  test('prints on none of the member’s printers that is retired', async () => {
    const fay = await member(odile, 'Fay')
    const [retired, used] = [await aPrinter(fay), await aPrinter(fay)]
    const { roster } = await twoUnits(fay)
    const printerOf = async () => (await planned(fay, roster.id)).printer
    expect(await printerOf()).toEqual({ id: retired.id, name: retired.name })
    await fay.patch(`/printers/${retired.id}`, { state: 'retired' })
    expect(await printerOf()).toEqual({ id: used.id, name: used.name })
    await fay.patch(`/printers/${used.id}`, { state: 'retired' })
    expect(await printerOf()).toBeNull()
  })

  test('says that it is out of date once an entry changes, not when the name does', async () => {
    const { roster, entryIds } = await twoUnits(ada)
    await planned(ada, roster.id)
    await ada.patch(`/rosters/${roster.id}`, { name: 'Renamed' })
    expect((await ada.get(`/rosters/${roster.id}/plan`)).json().outOfDate).toBe(false)
    await ada.patch(`/rosters/${roster.id}/entries/${entryIds[0]}`, { models: 8 })
    expect((await ada.get(`/rosters/${roster.id}/plan`)).json().outOfDate).toBe(true)
    expect((await planned(ada, roster.id)).outOfDate).toBe(false)
  })

  test('where the price of a box is not known, it says what is saved at least', async () => {
    const { unit } = await aStandIn(ada)
    const { unit: other } = await aStandIn(ada, { unit: { retailPrice: null } })
    const { id } = await aRoster(ada, { text: `2 x ${unit.name}\n2 x ${other.name}` })
    const { totals } = await planned(ada, id)
    const { saving, savingAtLeast, retail, money } = totals
    expect([saving, retail]).toEqual([null, euros('80.00')])
    expect(Number(savingAtLeast?.amount)).toBeCloseTo(80 - Number(money.amount), 9)
    const { body } = await ada.page(`/rosters/${id}`)
    expect(body).toContain('at least: not every box’s price is known')
    expect(body).toContain(`No price of a box is known for ${other.name}`)
  })

  test('what is in the archive, and what a running membership opens, costs nothing', async () => {
    const { roster, files, units } = await twoUnits(ada)
    await ada.put(`/archive/${files[0]?.id}`)
    const month = { kind: 'membership', price: euros('10.00'), minMonths: 3 }
    const monthly = await anOffer(ada, files[1]?.id ?? '', month)
    const before = await planned(ada, roster.id)
    expect(before.offers.map(({ kind }) => kind)).toEqual(['owned', 'purchase'])
    expect(before.totals.offers.amount).toBe('9.00')
    await ada.put(`/memberships/${monthly.id}`)
    const after = await planned(ada, roster.id)
    expect(after.offers.map(({ offerId, kind }) => [offerId, kind])).toEqual([
      [null, 'owned'],
      [monthly.id, 'owned'],
    ])
    expect(after.totals.offers.amount).toBe('0.00')
    // It is the owner's plan: another's archive is not counted.
    await ada.patch(`/rosters/${roster.id}`, { shared: true })
    const copy = made<{ id: string }>(await ben.post(`/rosters/${roster.id}/copy`, {}))
    expect((await planned(ben, copy.id)).totals.offers.amount).toBe('12.00')
    expect(units).toHaveLength(2)
  })

  test('a membership costs its least months, and can be left out', async () => {
    const unit = await aUnit(ada)
    const file = await aFile(ada, { standsInFor: [unit.id] })
    const monthly = await anOffer(ada, file.id, { kind: 'membership', price: euros('4.00'), minMonths: 2 })
    await anOffer(ada, file.id, { price: euros('11.00') })
    const { id } = await aRoster(ada, { text: `3 x ${unit.name}` })
    const plan = await planned(ada, id)
    expect(plan.offers).toMatchObject([{ offerId: monthly.id, kind: 'membership', price: euros('8.00'), months: 2 }])
    expect((await planned(ada, id, { allowMemberships: false })).totals.offers.amount).toBe('11.00')
    const what = (await ada.get(`/rosters/${id}/plan/what-ifs?kind=without memberships`)).json()
    expect(what.plans).toMatchObject([{ extra: euros('0.00') }])
    await planned(ada, id)
    const answer = (await ada.get(`/rosters/${id}/plan/what-ifs?kind=without memberships`)).json()
    expect(answer.plans).toMatchObject([{ extra: euros('3.00'), proven: true }])
    const without = await ada.get(`/rosters/${id}/plan/what-ifs?kind=without offer&offerId=${monthly.id}`)
    // 8.00 now, and 3.00 more before the purchase for 11.00 is as cheap.
    expect(without.json().worthUpTo).toEqual({ price: euros('11.00'), isExact: true })
  })

  test('what-ifs: the second choice, other plans, and what is not in the plan', async () => {
    const { roster, units, entryIds, bundle, singles } = await twoUnits(ada)
    const other = await aFile(ada, { standsInFor: [units[0]?.id], offer: { kind: 'purchase', price: euros('30.00') } })
    const ask = (query: string) => ada.get(`/rosters/${roster.id}/plan/what-ifs?${query}`)
    expect((await ask('kind=other plans')).statusCode).toBe(404)
    await planned(ada, roster.id)
    const second = (await ask(`kind=second choice&entryId=${entryIds[0]}`)).json()
    expect(second.plans[0]).toMatchObject({
      offers: euros('39.00'),
      changes: [{ entryId: entryIds[0], to: other.title }],
    })
    const others = (await ask('kind=other plans')).json()
    expect(others.plans[0]).toMatchObject({ offers: euros('18.00'), extra: euros('6.00') })
    expect((await ada.get(`/rosters/${roster.id}/plan`)).json().alternatives).toEqual(others.plans)
    expect((await ask(`kind=without offer&offerId=${bundle}`)).json().worthUpTo.price).toEqual(euros('18.00'))
    expect((await ask(`kind=without offer&offerId=${singles[0]}`)).statusCode).toBe(422)
    expect((await ask(`kind=second choice&entryId=${roster.id}`)).statusCode).toBe(422)
    expect((await ask('kind=cheaper')).statusCode).toBe(422)
  })

  test('uncovered entries have their reason', async () => {
    const [none, far, blocked, unloved] = [await aUnit(ada), await aUnit(ada), await aUnit(ada), await aUnit(ada)]
    const offer = (currency: string) => ({ kind: 'purchase', price: { amount: '900', currency } })
    await aFile(ada, { standsInFor: [far.id], offer: offer('CHF') })
    const revision = { label: 'first', supportKinds: ['as supplied'] }
    const bad = await aFile(ada, { standsInFor: [blocked.id], offer: offer('EUR'), revision })
    await aSnag(ada, bad.id, bad.revisions[0]?.id ?? '', { kind: 'broken mesh', severity: 'stops the print' })
    const request = await aRequest(ada, { unitId: unloved.id })
    const ugly = await aProposal(ada, request.id, {
      fileId: (await aFile(ada, { standsInFor: [unloved.id], offer: offer('EUR') })).id,
    })
    for (const person of [ada, ben, odile]) await person.put(`/proposals/${ugly.id}/vote`, { wouldField: false })
    // Elsewhere the group is more willing, so that a file without votes is likely fielded.
    const liked = await aProposal(ada, (await aRequest(ada)).id)
    for (const person of [ada, ben, odile]) await person.put(`/proposals/${liked.id}/vote`, { wouldField: true })
    const names = [none, far, blocked, unloved].map(({ name }) => `2 x ${name}`)
    const { id, entries } = await aRoster(ada, { text: [...names, '1 x Peat Colossus'].join('\n') })
    // Nobody would field it: 2 of 7 with four votes added, half of them yes as among all six of the group.
    const plan = await planned(ada, id, { minShare: 0.3 })
    expect(plan.uncovered).toMatchObject([
      { reason: 'no candidate', words: 'Nobody has found a stand-in for it yet.' },
      { reason: 'no usable offer', words: expect.stringContaining('no exchange rate for CHF') },
      { reason: 'open snag stops the print' },
      { reason: 'share too small' },
      { reason: 'no candidate', words: 'It is not known which unit is meant.' },
    ])
    expect(plan).toMatchObject({ proven: true, withoutRate: [{ currency: 'CHF' }], totals: { money: euros('0.00') } })
    const rest = await planned(ada, id, { avoidBlocked: false })
    expect(rest.entries.map(({ entryId }) => entryId)).toEqual([entries[2]?.id, entries[3]?.id])
  })

  test('a budget covers as much as it reaches for', async () => {
    const { roster, singles } = await twoUnits(ada)
    const plan = await planned(ada, roster.id, { budget: euros('10.00') })
    expect(plan.entries).toHaveLength(1)
    expect(plan.uncovered).toMatchObject([{ reason: 'over budget' }])
    expect(singles).toContain(plan.offers[0]?.offerId)
    const refused = await ada.post(`/rosters/${roster.id}/plan`, { budget: { amount: '10', currency: 'CHF' } })
    expect(refused.statusCode).toBe(422)
    expect(refused.json().errors).toEqual([
      {
        path: '/budget/currency',
        message: 'The group has no exchange rate for CHF: a steward can note one in the settings.',
      },
    ])
  })

  test('pins, exclusions and themes are kept to; contradictions are named', async () => {
    const { roster, units, files, entryIds, bundle } = await twoUnits(ada)
    const styled = await aFile(ada, {
      standsInFor: [units[0]?.id],
      styleTags: ['driftwood'],
      offer: { kind: 'purchase', price: euros('13.00') },
      sculptor: { name: 'Pewter Lane' },
    })
    const [first = ''] = entryIds
    const pinned = await planned(ada, roster.id, { pins: { [first]: styled.id } })
    expect(pinned.entries[0]?.fileId).toBe(styled.id)
    expect((await planned(ada, roster.id, { theme: 'driftwood', looks: '3.00' })).entries[0]?.fileId).toBe(styled.id)
    expect((await planned(ada, roster.id, { exclude: { fileIds: [files[0]?.id] } })).entries[0]?.fileId).toBe(styled.id)
    const alone = await planned(ada, roster.id, { exclude: { offerIds: [bundle] } })
    expect(alone.totals.offers.amount).toBe('18.00')

    const sculptor = (await ada.get(`/files/${styled.id}`)).json().sculptor.id
    const refusals = [
      [{ fileIds: [styled.id] }, 'but that file is excluded'],
      [{ sculptorIds: [sculptor] }, 'but its sculptor is excluded'],
    ] as const
    for (const [exclude, words] of refusals) {
      const answer = await ada.post(`/rosters/${roster.id}/plan`, { exclude, pins: { [first]: styled.id } })
      expect(answer.statusCode).toBe(422)
      expect(answer.json().errors).toEqual([{ path: `/pins/${first}`, message: expect.stringContaining(words) }])
      expect(answer.json().detail).toContain(styled.title)
    }
    const stranger = await ada.post(`/rosters/${roster.id}/plan`, { pins: { [first]: files[1]?.id } })
    expect(stranger.json().detail).toContain('not known to stand in for it')
    const nowhere = await ada.post(`/rosters/${roster.id}/plan`, {
      pins: { [roster.id]: styled.id },
      split: [roster.id],
    })
    expect(nowhere.json().errors.map((error: { path: string }) => error.path)).toEqual([`/pins/${roster.id}`, '/split'])
  })

  test('an entry may be split over two files where it is asked for', async () => {
    const { roster, units, entryIds } = await twoUnits(ada)
    await aFile(ada, { standsInFor: [units[0]?.id], offer: { kind: 'free' } })
    const plan = await planned(ada, roster.id, { split: [entryIds[0]], looks: '5.00' })
    const parts = plan.entries.filter(({ entryId }) => entryId === entryIds[0]) as unknown as { models: number }[]
    expect(parts).toHaveLength(2)
    expect(parts.reduce((sum, { models }) => sum + models, 0)).toBe(5)
  })

  test.each([
    ['/timeLimitS', { timeLimitS: 61 }],
    ['/timeLimitS', { timeLimitS: 0 }],
    ['/minShare', { minShare: 1.1 }],
    ['/looks', { looks: '1.234' }],
    ['/looks', { looks: '-1' }],
    ['/budget/amount', { budget: { amount: '-1', currency: 'EUR' } }],
    ['/theme', { theme: '' }],
    ['/exclude/tags', { exclude: { tags: [] } }],
    ['/greedy', { greedy: true }],
  ])('refuses at %s: %j', async (path, body) => {
    const { roster } = await twoUnits(ada)
    const answer = await ada.post(`/rosters/${roster.id}/plan`, body)
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect((await ada.get(`/rosters/${roster.id}/plan`)).statusCode).toBe(404)
  })

  test.each([
    [{ budget: 12 }, '/budget', 'An object with its fields, please.'],
    [{ budget: { amount: 12, currency: 'EUR' } }, '/budget/amount', 'A text, please.'],
    [{ looks: 1.5 }, '/looks', 'A text, please.'],
    [{ minShare: 'half' }, '/minShare', 'Enter a number.'],
    [{ allowMemberships: 'yes' }, '/allowMemberships', 'True or false, please.'],
    [{ theme: 3 }, '/theme', 'A text, please.'],
    [{ exclude: { fileIds: 'all' } }, '/exclude/fileIds', 'A list, please.'],
    [{ pins: { nobody: 'nothing' } }, '/pins/nobody', 'This is not an id.'],
    [{ split: 'all' }, '/split', 'A list, please.'],
    [{ timeLimitS: 'long' }, '/timeLimitS', 'Enter a whole number.'],
  ])('refuses %j in plain words', async (asked, path, message) => {
    const { id } = await aRoster(ada, { text: '2 x Somebody' })
    const refused = await ada.post(`/rosters/${id}/plan`, asked)
    expect(refused.statusCode).toBe(422)
    expect(refused.json().errors).toEqual([{ path, message }])
  })

  test('refuses a what-if that there is not in plain words', async () => {
    const { id } = await aRoster(ada, { text: '2 x Somebody' })
    const refused = await ada.get(`/rosters/${id}/plan/what-ifs?kind=cheaper`)
    expect(refused.json().errors[0].message).toMatch(/^One of these, please: without memberships, /)
  })

  test('an empty roster is nothing to plan', async () => {
    const { id } = await aRoster(ada)
    const answer = await ada.post(`/rosters/${id}/plan`, {})
    expect(answer.statusCode).toBe(422)
    expect(answer.json().detail).toContain('The roster is empty')
  })

  test('while one is being solved a second is refused; when its process dies the greedy plan stays', async () => {
    const { roster } = await twoUnits(ada)
    const path = `/rosters/${roster.id}/plan`
    const before = await planned(ada, roster.id)
    const running = db.updateTable('rosterPlan').where('rosterId', '=', roster.id)
    await running.set({ state: 'running', heartbeatAt: sql<Date>`now()`, endedAt: null }).execute()
    expect((await ada.get(path)).json()).toMatchObject({ state: 'running', ended: null, endedAt: null })
    const second = await ada.post(path, {})
    expect(second.statusCode).toBe(409)
    expect(second.json().detail).toContain('being planned just now')
    expect((await ada.get(`${path}/what-ifs?kind=other plans`)).statusCode).toBe(409)
    expect((await ada.post(`${path}/stop`)).statusCode).toBe(204)
    expect(await db.selectFrom('rosterPlan').select('stopAsked').where('rosterId', '=', roster.id).execute()).toEqual([
      { stopAsked: true },
    ])

    await running.set({ heartbeatAt: sql<Date>`now() - interval '1 minute'` }).execute()
    const lost = (await ada.get(path)).json()
    expect(lost).toMatchObject({ state: 'lost', ended: null })
    expect(lost.entries).toHaveLength(before.entries.length)
    expect((await planned(ada, roster.id)).state).toBe('done')
  })

  test('two at the same moment: one is solved, the other refused or solved after it', async () => {
    const { roster } = await twoUnits(ada)
    const both = await Promise.all([0, 1].map(() => ada.post(`/rosters/${roster.id}/plan`, {})))
    for (const { statusCode } of both) expect([200, 202, 409]).toContain(statusCode)
    expect(both.some(({ statusCode }) => statusCode < 300)).toBe(true)
    await planEnded(ada, roster.id)
    expect(await planned(ada, roster.id)).toMatchObject({ state: 'done', proven: true })
  })

  test('is for the owner of the roster alone', async () => {
    const { roster } = await twoUnits(ada)
    await planned(ada, roster.id)
    await ada.patch(`/rosters/${roster.id}`, { shared: true })
    const path = `/rosters/${roster.id}/plan`
    for (const person of [ben, odile]) {
      expect((await person.get(path)).statusCode).toBe(403)
      expect((await person.post(path, {})).statusCode).toBe(403)
      expect((await person.post(`${path}/stop`)).statusCode).toBe(403)
      expect((await person.get(`${path}/what-ifs?kind=other plans`)).statusCode).toBe(403)
    }
    await ada.patch(`/rosters/${roster.id}`, { shared: false })
    expect((await ben.get(path)).statusCode).toBe(404)
    expect((await outsider(app).get(path)).statusCode).toBe(401)
  })

  test('an unnamed sculptor is neither named nor linked', async () => {
    const unit = await aUnit(ada)
    const sculptor = { name: 'Sorrel Quist', credit: 'unnamed' }
    const file = await aFile(ben, { title: 'Sorrel Quist reed men', standsInFor: [unit.id], sculptor })
    await anOffer(ben, file.id, { url: 'https://quist.example/reed', title: 'At Sorrel Quist' })
    const { id } = await aRoster(ada, { text: `3 x ${unit.name}` })
    const body = (await ada.post(`/rosters/${id}/plan`, {})).body
    expect(body).not.toMatch(/sorrel|quist\.example/i)
    expect(JSON.parse(body).offers).toMatchObject([{ url: null, linkWithheld: true }])
  })
})
