import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { cheapestWay, exchangeInto, type OfferFacts } from '../../../server/features/requests/answers/rules.ts'
import type { App } from '../../../server/http/route.ts'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, anOffer, aRevision, aSnag, aSupportSet, aUnit } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrinter, aReport } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

const offer = (over: Partial<OfferFacts>): OfferFacts => ({
  id: 'a',
  kind: 'purchase',
  priceMinor: 900,
  priceCurrency: 'EUR',
  minMonths: null,
  state: 'on sale',
  ...over,
})
const nothing = { inArchive: false, memberships: new Set<string>() }
const exchange = exchangeInto({ currency: 'EUR', rates: { JPY: 0.006 } })

describe('the cheapest way to get a file', () => {
  test('counts a membership by its months and a bundle whole, in the group’s currency', () => {
    const membership = offer({ id: 'm', kind: 'membership', priceMinor: 400, minMonths: 2 })
    expect(cheapestWay([offer({}), membership], nothing, exchange)).toMatchObject({ priceMinor: 800 })
    // 1,000 yen (no minor unit) at 0.006 are 6.00 EUR.
    const yen = offer({ id: 'y', priceMinor: 1000, priceCurrency: 'JPY' })
    expect(cheapestWay([offer({}), yen], nothing, exchange)).toMatchObject({ priceMinor: 600, offer: { id: 'y' } })
  })

  test('what one has costs nothing, also when it can no longer be bought', () => {
    const gone = [offer({ state: 'withdrawn' })]
    expect(cheapestWay(gone, { ...nothing, inArchive: true }, exchange)).toEqual({
      offer: null,
      priceMinor: 0,
      owned: true,
    })
    const club = offer({ id: 'm', kind: 'membership', minMonths: 1, state: 'members only' })
    const runs = { inArchive: false, memberships: new Set(['m']) }
    expect(cheapestWay([club], runs, exchange)).toMatchObject({ priceMinor: 0, owned: true })
  })

  test('says why there is none', () => {
    expect(cheapestWay([], nothing, exchange)).toMatch(/Nobody has noted an offer/)
    expect(cheapestWay([offer({ state: 'withdrawn' })], nothing, exchange)).toMatch(/Every offer has been withdrawn/)
    expect(cheapestWay([offer({ priceCurrency: 'USD' })], nothing, exchange)).toMatch(/no exchange rate for USD/)
  })
})

describe('ranked answers', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    ;({ app, db, close } = await startApp())
    const odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  const cents = (amount: string) => Math.round(Number(amount) * 100)
  async function answers(person: Person, id: string, query = '') {
    const answer = await person.get(`/requests/${id}/answers${query}`)
    if (answer.statusCode !== 200) throw new Error(answer.body)
    return answer.json().items as {
      file: { id: string }
      proposalId: string
      score: string | null
      costToTable: { amount: string } | null
      badLuckCost: { amount: string } | null
      breakdown: Record<string, string | null>
      attemptsPerGood: number
      printing: {
        copies: number
        plates: number | null
        hours: number | null
        resinMl: number
        expectedFailures: number
        expectedPlates: number
      }
      comesOut: { mean: number; low: number; high: number }
      rank: number
      votes: { share: number }
      obtainable: boolean
      whyNotObtainable: string | null
      owned: boolean
      printSuccess: { mean: number; copies: number; basis: string; supportSetId: string | null; kind: string }
      resinMl: { assumed: boolean }
      blockedBy: object[]
      missing: string[]
    }[]
  }

  test('every term is shown and the terms add up to the score, to the last digit', async () => {
    const request = await aRequest(ada, { mustHaves: ['spears', 'a banner'] })
    await aProposal(ben, request.id, { covers: ['spears'] })
    await aProposal(ben, request.id)
    for (const answer of await answers(ada, request.id)) {
      const { looks, ...terms } = answer.breakdown
      const cost = Object.values(terms).reduce((sum, one) => sum + cents(one ?? ''), 0)
      expect(Object.keys(terms)).toEqual(['price', 'resinForGood', 'plates', 'failures', 'snagTime'])
      expect(cents(answer.costToTable?.amount ?? '')).toBe(cost)
      expect(cents(answer.score ?? '')).toBe(cost + cents(looks ?? ''))
      expect(answer.badLuckCost?.amount).toMatch(/^\d+\.\d\d$/)
      // 9.5 ml at 1.1 g/ml and 35 EUR a kg, ten times: 3.6575 EUR
      expect(terms.resinForGood).toBe('3.66')
      // ten on plates of six, 1.00 each
      expect(terms.plates).toBe('2.00')
      // nobody has voted: 10 x 1.00 x (1 - 0.5)
      expect(looks).toBe('5.00')
    }
    expect((await answers(ada, request.id)).map((one) => one.missing)).toContainEqual(['a banner'])
  })

  test('votes move the order by what looks are worth, and not at all when they are worth nothing', async () => {
    const request = await aRequest(ada)
    const cheap = await aProposal(ben, request.id)
    const dear = await aProposal(ben, request.id)
    await anOffer(ada, cheap.file.id, { price: { amount: '5.00', currency: 'EUR' } })
    for (const person of [ada, ben]) {
      await person.put(`/proposals/${cheap.id}/vote`, { wouldField: false })
      await person.put(`/proposals/${dear.id}/vote`, { wouldField: true })
    }
    const order = async (query: string) => (await answers(ada, request.id, query)).map((one) => one.proposalId)
    // shares 2/6 and 4/6: a third of a model more looks, on ten models, against 4.00 EUR
    expect(await order('?looks=0')).toEqual([cheap.id, dear.id])
    expect(await order('?looks=1.00')).toEqual([cheap.id, dear.id])
    expect(await order('?looks=1.30')).toEqual([dear.id, cheap.id])
    expect((await ada.get(`/requests/${request.id}/answers?looks=1.005`)).statusCode).toBe(422)
    expect((await ada.get(`/requests/${request.id}/answers?looks=-1`)).statusCode).toBe(422)
  })

  test('what lacks a must-have comes after all that cover everything, and the page says so', async () => {
    const request = await aRequest(ada, { mustHaves: ['a banner'] })
    const free = await aFile(ben, { offer: { kind: 'free' } })
    await aProposal(ben, request.id, { fileId: free.id })
    const whole = await aProposal(ben, request.id, { covers: ['a banner'] })
    const ranked = await answers(ada, request.id)
    expect(ranked.map((one) => one.file.id)).toEqual([whole.file.id, free.id])
    expect(Number(ranked[1]?.score)).toBeLessThan(Number(ranked[0]?.score))
    const { body } = await ada.page(`/requests/${request.id}`)
    expect(body).toMatch(/This one lacks a must-have:.*<span class="hurdle">no banner<\/span>/s)
  })

  test('what cannot be had comes last but one, what is blocked last, whatever it costs', async () => {
    const request = await aRequest(ada)
    const blocked = await aFile(ben, { offer: { kind: 'free' }, revision: { label: 'first' } })
    const gone = await aFile(ben, { offer: { kind: 'free', state: 'withdrawn' } })
    await aProposal(ben, request.id, { fileId: blocked.id })
    await aProposal(ben, request.id, { fileId: gone.id })
    const fine = await aProposal(ben, request.id)
    const revisionId = blocked.revisions[0]?.id ?? ''
    const snag = await aSnag(ben, blocked.id, revisionId, {
      kind: 'unsupported part',
      severity: 'stops the print',
      part: 'left arm',
    })
    const ranked = await answers(ada, request.id)
    expect(ranked.map((one) => one.file.id)).toEqual([fine.file.id, gone.id, blocked.id])
    expect(ranked.map((one) => one.rank)).toEqual([1, 2, 3])
    expect(ranked[1]).toMatchObject({
      obtainable: false,
      whyNotObtainable: 'Every offer has been withdrawn.',
      costToTable: null,
      badLuckCost: null,
      score: null,
      breakdown: { price: null, resinForGood: '3.66' },
    })
    const shown = (await ada.page(`/requests/${request.id}`)).body
    expect(shown.match(/<span class="answer-score"><small>not to be had/g)).toHaveLength(1)
    const unit = (await ada.page(`/units/${request.unit.id}?sort=cost&compare=${gone.id}&compare=${fine.file.id}`)).body
    expect(unit.match(/Not to be had\. Every offer/g)).toHaveLength(1)
    expect(unit.match(/<td role="cell">not to be had<\/td>/g)).toHaveLength(1)
    expect(unit.indexOf(gone.title)).toBeGreaterThan(unit.indexOf(fine.file.title))
    expect(ranked[2]?.blockedBy).toEqual([{ snagId: snag.id, kind: 'unsupported part', part: 'left arm' }])
    const later = await aRevision(ben, blocked.id)
    await ben.patch(`/snags/${snag.id}`, { state: 'mended', mendedInRevisionId: later.id })
    expect((await answers(ada, request.id))[0]?.file.id).toBe(blocked.id)
  })

  test('with own=true the archive costs nothing', async () => {
    const request = await aRequest(ada)
    const { file } = await aProposal(ben, request.id)
    await ada.put(`/archive/${file.id}`)
    expect((await answers(ada, request.id))[0]?.breakdown.price).toBe('9.00')
    expect((await answers(ada, request.id, '?own=true'))[0]).toMatchObject({
      owned: true,
      breakdown: { price: '0.00' },
    })
    expect((await answers(ben, request.id, '?own=true'))[0]).toMatchObject({
      owned: false,
      breakdown: { price: '9.00' },
    })
  })

  test('with own=true one’s printer counts, with the warning before its next plate, but none that is retired', async () => {
    const request = await aRequest(ada)
    await aProposal(ben, request.id)
    const failures = async () => (await answers(ada, request.id, '?own=true'))[0]?.breakdown.failures
    const inGeneral = await failures()
    const worn = await aPrinter(ada, { name: 'Woodshed' })
    for (let plate = 0; plate < 4; plate++)
      await aReport(ada, { printerId: worn.id, failures: [{ seen: 'one side of the plate only', copies: 5 }] })
    await refitHere(db)
    expect(Number(await failures())).toBeGreaterThan(2 * Number(inGeneral))
    expect((await ada.page(`/requests/${request.id}?own=true`)).body).toContain(
      'come out good on Woodshed, as it is now;',
    )
    const mine = (await ada.page(`/requests/${request.id}?own=true`)).body
    expect(mine).toMatch(/Check <a [^>]*>Woodshed<\/a> before the next plate/)
    expect((await ada.page(`/requests/${request.id}`)).body).not.toContain('before the next plate')
    expect((await ben.page(`/requests/${request.id}?own=true`)).body).not.toContain('Woodshed')

    await ada.patch(`/printers/${worn.id}`, { state: 'retired' })
    const general = (await answers(ada, request.id))[0]?.breakdown.failures
    expect(await failures()).toBe(general)
    expect((await ada.page(`/requests/${request.id}?own=true`)).body).not.toContain('Woodshed')
  })

  test('copies, plates, hours and resin of an answer are of the same whole copies; what is charged is the average', async () => {
    const request = await aRequest(ada, { wanted: 14 })
    const body = { base: { shape: 'round', widthMm: 25 }, heightMm: 45, offer: { kind: 'free' } }
    await aProposal(ben, request.id, { fileId: (await aFile(ben, body)).id })
    await aProposal(ben, request.id, { fileId: (await aFile(ben, { offer: { kind: 'free' } })).id })
    const [one, other] = (await answers(ada, request.id)).toSorted(
      (a, b) => (b.printing.hours ?? 0) - (a.printing.hours ?? 0),
    )
    const { copies, plates, hours, resinMl, expectedFailures } = one?.printing ?? {}
    expect(copies).toBe(Math.ceil(14 * (one?.attemptsPerGood ?? 0)))
    expect(expectedFailures).toBeCloseTo(14 * ((one?.attemptsPerGood ?? 0) - 1), 9)
    // (130 + 3) / 28 = 4.75 and (80 + 3) / 28 = 2.96: eight on a plate of the usual printer
    expect(plates).toBe(Math.ceil((copies ?? 0) / 8))
    // 45 mm at 0.03 mm are 1500 layers of 2.5 + 7 s, five of 30 s instead of 2.5 s
    expect(hours).toBeCloseTo(((plates ?? 0) * (1500 * 9.5 + 5 * 27.5)) / 3600, 9)
    expect(resinMl).toBeCloseTo(9.5 * (copies ?? 0), 6)
    expect(one?.printing.expectedPlates).toBeCloseTo(2 + (expectedFailures ?? 0) / 8, 9)
    expect(one?.breakdown.plates).toBe('2.00')
    // Without a base nobody knows the plates; for the money a foot model's is taken: six on a plate.
    expect(other?.printing).toMatchObject({ plates: null, hours: null })
    expect(other?.breakdown.plates).toBe('3.00')
    const page = (await ada.page(`/requests/${request.id}`)).body
    expect(page).toContain(`${copies} to print for 14 good</h3><p>On ${plates} plates, ${resinMl} ml of resin: `)
    expect(page).toContain(' h at the printer.')
  })

  test('what is said first is all in, and what failures are charged by', async () => {
    const request = await aRequest(ada)
    await aProposal(ben, request.id)
    const [answer] = await answers(ada, request.id)
    expect(answer?.comesOut.mean).toBeLessThan(answer?.printSuccess.mean ?? 0)
    const share = 1 / (answer?.attemptsPerGood ?? 0)
    expect(share).toBeGreaterThan(answer?.comesOut.low ?? 1)
    expect(share).toBeLessThan(answer?.comesOut.high ?? 0)
    const { body } = await ada.page(`/requests/${request.id}`)
    expect(body).toMatch(
      /(About|Usually about) \d+ of 100? come out good on a printer in good order[;,] the file alone /,
    )
  })

  test('a file that says nothing of its resin is counted with the group’s figure, and says so', async () => {
    const request = await aRequest(ada)
    await aProposal(ben, request.id, { fileId: (await aFile(ben, { resinMl: null, offer: { kind: 'free' } })).id })
    const [answer] = await answers(ada, request.id)
    expect(answer?.resinMl).toEqual({ perCopy: 10, assumed: true })
    // 10 x 10 ml x 1.1 g/ml x 35 EUR/kg
    expect(answer?.breakdown.resinForGood).toBe('3.85')
  })

  test('the support set that costs least is the one that counts', async () => {
    const request = await aRequest(ada)
    const file = await aFile(ben, { offer: { kind: 'free' } })
    const revision = await aRevision(ben, file.id)
    const set = await aSupportSet(ben, revision.id)
    await aProposal(ben, request.id, { fileId: file.id })
    expect((await answers(ada, request.id))[0]?.printSuccess).toMatchObject({
      kind: 'as supplied',
      supportSetId: set.id,
      copies: 0,
    })
  })

  test('the page of a unit shows every stand-in, filtered, sorted and side by side', async () => {
    const request = await aRequest(ada)
    const base = { shape: 'round', widthMm: 25 }
    const cheap = await aFile(ben, {
      title: 'Cheap Ones',
      scaleMm: 32,
      offer: { kind: 'free' },
      standsInFor: [request.unit.id],
    })
    const dear = await aFile(ben, {
      title: 'Dear Ones',
      scaleMm: 28,
      base,
      options: ['a banner'],
      offer: { kind: 'purchase', price: { amount: '20.00', currency: 'EUR' } },
      standsInFor: [request.unit.id],
    })
    const shown = async (query: string) => (await ada.page(`/units/${request.unit.id}?${query}`)).body
    const all = await shown('')
    expect(all.indexOf('Cheap Ones')).toBeLessThan(all.indexOf('Dear Ones'))
    expect(await shown('fitsScale=true')).not.toContain('Cheap Ones')
    expect(await shown('option=a+banner')).not.toContain('Cheap Ones')
    expect(await shown('maxPrice=5')).not.toContain('Dear Ones')
    expect(await shown('minSuccess=100')).toContain('None matches this filter')
    expect(await shown(`compare=${cheap.id}&compare=${dear.id}`)).toContain('Side by side')
    expect(await shown('sort=nonsense&wanted=-3')).toContain('2 known stand-ins')
  })

  test('of many stand-ins a page shows forty, and leads to the rest of them', async () => {
    const { unit } = await aRequest(ada)
    const files = await Promise.all(Array.from({ length: 42 }, () => aFile(ben, { standsInFor: [unit.id] })))
    const linked = (body: string) => files.filter(({ id }) => body.includes(`href="/files/${id}"`)).map(({ id }) => id)
    const { body } = await ada.page(`/units/${unit.id}?sort=cost`)
    expect(linked(body)).toHaveLength(40)
    expect(body).toContain('42 known stand-ins')
    expect(body).toContain('1 to 40 of 42')
    const [, next = ''] = /rel="next" href="([^"]+)"/.exec(body) ?? []
    const rest = (await ada.page(next.replaceAll('&amp;', '&'))).body
    expect(new Set([...linked(body), ...linked(rest)]).size).toBe(42)
    expect(rest).not.toContain('rel="next"')
    const [first = ''] = linked(body)
    const compared = (await ada.page(`/units/${unit.id}?sort=cost&from=40&compare=${first}`)).body
    expect(compared).toContain(`<input type="hidden" name="compare" value="${first}"/>`)
  })

  test('the list of units tells what the cheapest stand-in costs a model, of those that can be had and printed', async () => {
    const offered = (amount: string, standsInFor: string[]) =>
      aFile(ben, { standsInFor, offer: { kind: 'purchase', price: { amount, currency: 'EUR' } } })
    const unit = await aUnit(ada, { modelsPerUnit: 10 })
    const none = await aUnit(ada)
    const row = async ({ id }: { id: string }) => {
      const { body } = await ada.page('/units?limit=100')
      return body.split('<li>').find((one) => one.includes(`/units/${id}"`)) ?? ''
    }
    expect(await row(unit)).not.toContain('a model')
    const dear = await offered('30.00', [unit.id])
    await offered('12.00', [unit.id])
    const stopped = await offered('1.00', [unit.id])
    const revision = await aRevision(ben, stopped.id)
    await aSnag(ada, stopped.id, revision.id, { severity: 'stops the print' })
    const gone = await aFile(ben, { standsInFor: [unit.id] })
    const { items } = (await ada.get(`/units/${unit.id}/answers`)).json()
    const had = items.filter(
      (one: { obtainable: boolean; blockedBy: [] }) => one.obtainable && one.blockedBy.length === 0,
    )
    const least = Math.min(...had.map((one: { costToTable: { amount: string } }) => Number(one.costToTable.amount)))
    expect(had).toHaveLength(2)
    expect(await row(unit)).toContain(`€${(Math.round(least * 10) / 100).toFixed(2)}</span></strong> a model`)
    expect(await row(unit)).toContain('4 stand-ins')
    expect(await row(none)).toContain('no stand-in yet')
    // Whatever the order, what can't be had stands after what can, and what a snag stops last of all.
    for (const sort of ['score', 'cost', 'price', 'success']) {
      const { body } = await ada.page(`/units/${unit.id}?sort=${sort}`)
      const at = (id: string) => body.indexOf(`href="/files/${id}"`)
      expect([at(dear.id) < at(gone.id), at(gone.id) < at(stopped.id)], sort).toEqual([true, true])
    }
  })
})
