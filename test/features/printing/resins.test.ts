import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, outsider } from '../../support/app.ts'
import { aPlate, aPrintable, aPrinter, aReport, aResin } from '../../support/printing.ts'
import { euros, type Group, startGroup } from '../../support/rosters.ts'

const peat = { name: 'Peat', price: euros('24.00'), bottleG: 500, gramsPerMl: 1.12 }

describe('resins of one’s own', () => {
  let { app, close, odile, ada, ben } = {} as Group
  beforeAll(async () => {
    ;({ app, close, odile, ada, ben } = await startGroup())
    await odile.put('/settings/rates/GBP', { worth: 1.2 })
  })
  afterAll(() => close())

  test('are kept as they were given, and the first becomes the usual one', async () => {
    const answer = await ada.post('/resins', peat)
    expect(answer.statusCode).toBe(201)
    const resin = answer.json()
    // 24.00 for half a kilogram.
    expect(resin).toMatchObject({
      ...peat,
      bottleMl: null,
      remark: '',
      state: 'in use',
      isUsual: true,
      version: 1,
      pricePerKg: euros('48.00'),
    })
    expect(answer.headers).toMatchObject({ etag: '"1"', location: `/api/v1/resins/${resin.id}` })
    expect((await ada.get(`/resins/${resin.id}`)).json()).toEqual(resin)
    expect((await ada.get('/me')).json().defaultResinId).toBe(resin.id)
    const second = await aResin(ada)
    expect((await ada.get('/resins')).json().items).toMatchObject([
      { id: resin.id, isUsual: true },
      { id: second.id, isUsual: false },
    ])
    expect((await ada.get('/resins?limit=1')).json()).toMatchObject({ items: [{ id: resin.id }], next: /./ })
  })

  test('cost a kilogram what the bottle says, in the group’s currency', async () => {
    const perKg = async (over: object) => {
      const { id } = await aResin(ben, { ...over })
      return (await ben.get(`/resins/${id}`)).json().pricePerKg
    }
    expect(await perKg({ price: euros('29.90') })).toEqual(euros('29.90'))
    expect(await perKg({ price: euros('22.00'), bottleMl: 500, gramsPerMl: 1.1 })).toEqual(euros('40.00'))
    // 25.00 GBP are 30.00 EUR, for 750 g.
    expect(await perKg({ price: { amount: '25.00', currency: 'GBP' }, bottleG: 750 })).toEqual(euros('40.00'))
    expect(await perKg({ price: { amount: '5000', currency: 'JPY' } })).toBeNull()
  })

  test.each([
    ['/name', { name: ' ' }],
    ['/price/amount', { price: euros('-1') }],
    ['/price/amount', { price: euros('1.005') }],
    ['/bottleG', { bottleG: 0 }],
    ['/bottleMl', { bottleMl: 500 }],
    ['/gramsPerMl', { gramsPerMl: 0.79 }],
    ['/gramsPerMl', { gramsPerMl: 2.01 }],
    ['/gramsPerMl', { gramsPerMl: '1.1' }],
    ['/colour', { colour: 'grey' }],
  ])('refuse at %s: %j', async (path, over) => {
    const answer = await ada.post('/resins', { ...peat, name: 'Loam', ...over })
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors[0].path).toBe(path)
  })

  test('from 0.8 to 2 g per ml are let in', async () => {
    await aResin(ben, { gramsPerMl: 0.8 })
    await aResin(ben, { gramsPerMl: 2 })
  })

  test('have one name each, of one member', async () => {
    expect((await ada.post('/resins', { ...peat, name: 'peat' })).statusCode).toBe(409)
    expect((await ben.post('/resins', peat)).statusCode).toBe(201)
  })

  test('are changed by a version, one size at a time', async () => {
    const { id } = await aResin(ada, { bottleG: 1000 })
    const stale = { headers: { 'if-match': '"7"' } }
    expect((await ada.patch(`/resins/${id}`, { remark: 'thin' }, stale)).statusCode).toBe(412)
    expect((await ada.patch(`/resins/${id}`, { bottleMl: 900 })).json().errors[0].path).toBe('/bottleMl')
    const changed = await ada.patch(`/resins/${id}`, { bottleG: null, bottleMl: 500, price: euros('22.00') })
    expect(changed.json()).toMatchObject({ bottleG: null, bottleMl: 500, version: 2, pricePerKg: euros('40.00') })
    expect((await ada.delete(`/resins/${id}`, stale)).statusCode).toBe(412)
  })

  test('are nobody else’s to see, to name or to choose', async () => {
    const { id } = await aResin(ada)
    for (const [person, status] of [
      [ben, 404],
      [odile, 404],
      [outsider(app), 401],
    ] as const) {
      expect((await person.get(`/resins/${id}`)).statusCode).toBe(status)
      expect((await person.patch(`/resins/${id}`, { remark: 'x' })).statusCode).toBe(status)
      expect((await person.delete(`/resins/${id}`)).statusCode).toBe(status)
    }
    const chosen = await ben.patch('/me', { defaultResinId: id })
    expect([chosen.statusCode, chosen.json().errors[0].path]).toEqual([422, '/defaultResinId'])
    const named = await reportWith(ben, id)
    expect([named.statusCode, named.json().errors[0].path]).toEqual([422, '/resinId'])
    expect((await ada.get('/resins/01890000-0000-7000-8000-000000000000')).statusCode).toBe(404)
  })

  async function reportWith(person: typeof ada, resinId: string) {
    const { supportSetId } = await aPrintable(person)
    const printerId = (await aPrinter(person)).id
    const plate = { supportSetId, printerId, printedOn: '2025-06-01', crowding: 'packed', tried: 2, good: 2 }
    return person.post('/reports', { ...plate, resinId })
  }

  test('a plate names one, which whoever printed it alone reads', async () => {
    const { id, name } = await aResin(ada)
    const { supportSetId } = await aPrintable(ada)
    const plate = await aPlate(ada, [{ supportSetId }], { resinId: id })
    const seenBy = async (person: typeof ada) => (await person.get(`/plates/${plate.id}`)).json().resin
    expect(plate).toMatchObject({ resin: { id, name } })
    expect([await seenBy(ada), await seenBy(ben), await seenBy(odile)]).toEqual([{ id, name }, null, null])
    const reportId = plate.prints[0]?.id
    expect((await ben.get(`/reports/${reportId}`)).json().resin).toBeNull()
    expect((await ada.patch(`/reports/${reportId}`, { resinId: null })).json().resin).toBeNull()
    expect((await ada.patch(`/plates/${plate.id}`, { resinId: id })).json().resin).toEqual({ id, name })
    // What says nothing of it leaves it as it is.
    expect((await ada.patch(`/plates/${plate.id}`, { remark: 'cold room' })).json().resin).toEqual({ id, name })
    expect((await aReport(ada)) as object).toMatchObject({ resin: null })
  })

  test('one that plates were printed with is retired rather than removed, and stays with them', async () => {
    const used = await aResin(ada)
    await ada.patch('/me', { defaultResinId: used.id })
    const { id: reportId } = (await reportWith(ada, used.id)).json()
    expect((await ada.delete(`/resins/${used.id}`)).statusCode).toBe(204)
    expect((await ada.get(`/resins/${used.id}`)).json()).toMatchObject({ state: 'retired', isUsual: false })
    expect((await ada.get('/me')).json().defaultResinId).toBeNull()
    expect((await ada.get(`/reports/${reportId}`)).json().resin.id).toBe(used.id)
    // The plate that names it may name it again, another may not.
    expect((await ada.patch(`/reports/${reportId}`, { resinId: used.id })).statusCode).toBe(200)
    expect((await reportWith(ada, used.id)).statusCode).toBe(422)
    expect((await ada.patch('/me', { defaultResinId: used.id })).statusCode).toBe(422)

    const idle = await aResin(ada)
    await ada.patch('/me', { defaultResinId: idle.id })
    expect((await ada.delete(`/resins/${idle.id}`)).statusCode).toBe(204)
    expect((await ada.get(`/resins/${idle.id}`)).statusCode).toBe(404)
    expect((await ada.get('/me')).json().defaultResinId).toBeNull()
  })

  test('on the pages: added, refused with what was typed, chosen, named, removed', async () => {
    const cleo = await member(odile, 'Cleo')
    expect((await cleo.page('/printers')).body).toContain('href="/resins"')
    expect((await cleo.page('/resins')).body).toContain('Add a resin')
    const form = {
      name: 'Silt',
      'price.amount': '24,00',
      'price.currency': 'EUR',
      bottleG: '500',
      bottleMl: '',
      remark: '',
    }
    const refused = await cleo.submit('/resins/new', { ...form, bottleMl: '450', gramsPerMl: '1,12' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('in g or in ml, not both')
    expect(refused.body).toContain('value="450"')
    const empty = await cleo.submit('/resins/new', { ...form, gramsPerMl: '' })
    expect(empty.body).toContain('How many g per ml? Enter a number, such as 1.1.')
    const added = await cleo.submit('/resins/new', { ...form, gramsPerMl: '1,12' })
    expect(added.headers.location).toBe('/resins?said=resin-added')
    const [resin] = (await cleo.get('/resins')).json().items
    const page = (await cleo.page('/resins')).body
    expect(page).toContain('your usual one')
    expect(page).toContain('safety data sheet')
    expect((await cleo.page('/me')).body).toContain('href="/resins"')
    const me = { name: 'Cleo', defaultPrinterId: '', defaultCrowding: 'packed' }
    await cleo.submit('/me', { ...me, defaultResinId: '' })
    expect((await cleo.get('/me')).json().defaultResinId).toBeNull()
    await cleo.submit('/me', { ...me, defaultResinId: resin.id })
    expect((await cleo.get('/me')).json().defaultResinId).toBe(resin.id)
    await aPrinter(cleo)
    const { fileId } = await aPrintable(cleo)
    expect((await cleo.page(`/reports/new?fileId=${fileId}`)).body).toContain('your usual one, Silt')
    const edit = { ...form, gramsPerMl: '1.2', state: 'in use' }
    expect((await cleo.submit(`/resins/${resin.id}/edit`, { ...edit, version: '7' })).statusCode).toBe(422)
    await cleo.submit(`/resins/${resin.id}/edit`, { ...edit, version: '1' })
    expect((await cleo.get(`/resins/${resin.id}`)).json()).toMatchObject({ gramsPerMl: 1.2, bottleG: 500, version: 2 })
    expect((await ben.page(`/resins/${resin.id}/edit`)).statusCode).toBe(404)
    const removed = await cleo.submit(`/resins/${resin.id}/remove`, { version: '2' })
    expect(removed.headers.location).toBe('/resins?said=resin-removed')
  })
})
