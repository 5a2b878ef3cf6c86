import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { nextStep } from '../../../server/features/rosters/army/rules.ts'
import { hoursWords } from '../../../web/parts/numbers.ts'
import { aUnit } from '../../support/catalogue.ts'
import { aPlate, aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, type Group, planned, startGroup } from '../../support/rosters.ts'

describe('the state of an army', () => {
  let { close, ada, ben } = {} as Group
  let printerId: string
  beforeAll(async () => {
    ;({ close, ada, ben } = await startGroup())
    printerId = (await aPrinter(ada)).id
  })
  afterAll(() => close())

  /** A unit with a file to be bought, in a roster of so many, planned unless said otherwise. */
  async function anEntry(models = 6, isPlanned = true) {
    const { unit, file, offer } = await aStandIn(ada)
    const roster = await aRoster(ada, { text: `${models} x ${unit.name}` })
    if (isPlanned) await planned(ada, roster.id)
    const entry = roster.entries[0]?.id ?? ''
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    return { unit, file, offer, id: roster.id, entry, at: `/rosters/${roster.id}/entries/${entry}`, supportSetId }
  }
  const stateOf = async (id: string) => (await ada.get(`/rosters/${id}`)).json().entries[0].state
  const wordsOf = async (id: string) =>
    [
      ...(/<ul class="army-state" id="state">(.*?)<\/ul>/s
        .exec((await ada.page(`/rosters/${id}`)).body)?.[1]
        ?.matchAll(/<li>(.*?)<\/li>/g) ?? []),
    ].map(([, item = '']) => item.replace(/<[^>]*>/g, ''))

  test('from to buy by way of to print and printed to built and painted', async () => {
    const { id, at, offer, supportSetId } = await anEntry()
    expect(await stateOf(id)).toEqual({ toBuy: 6, toPrint: 0, printed: 0, built: 0, painted: 0 })
    expect(await wordsOf(id)).toEqual(['6 to print, once their files are bought'])
    await ada.post(`/rosters/${id}/purchases`, { offerId: offer.id })
    expect(await stateOf(id)).toMatchObject({ toBuy: 0, toPrint: 6 })
    const failures = [{ seen: 'supports snapped', copies: 3 }]
    const report = await aReport(ada, { supportSetId, printerId, tried: 6, failures, mended: 1, mendedMinutes: 5 })
    await ada.put(`${at}/reports/${report.id}`)
    expect(await stateOf(id)).toMatchObject({ toBuy: 0, toPrint: 2, printed: 4 })
    expect((await ada.patch(at, { built: 3, painted: 1 })).json().state).toMatchObject({ built: 3, painted: 1 })
    expect(await wordsOf(id)).toEqual(['1 painted', '2 built', '1 printed', '2 to print'])
    // Counting built models is no reason to plan again.
    expect((await ada.get(`/rosters/${id}/plan`)).json().outOfDate).toBe(false)
  })

  test('never more than what comes before, and what is taken back takes the next along', async () => {
    const { id, at, supportSetId } = await anEntry(4)
    const report = await aReport(ada, { supportSetId, printerId, tried: 9 })
    await ada.put(`${at}/reports/${report.id}`)
    expect(await stateOf(id)).toMatchObject({ toBuy: 0, toPrint: 0, printed: 4 })
    const refused = await ada.patch(at, { built: 5 })
    expect(refused.statusCode).toBe(422)
    expect(refused.json().errors[0]).toMatchObject({ path: '/built', message: 'Only 4 are printed.' })
    expect((await ada.patch(at, { built: 1, painted: 2 })).json().errors[0].path).toBe('/painted')
    expect((await ada.patch(at, { built: -1 })).statusCode).toBe(422)
    await ada.patch(at, { built: 4, painted: 4 })
    expect((await ada.patch(at, { built: 2 })).json().state).toMatchObject({ built: 2, painted: 2 })
    expect((await ada.patch(at, { models: 1 })).json().state).toMatchObject({ printed: 1, built: 1, painted: 1 })
    await ada.delete(`${at}/reports/${report.id}`)
    expect(await stateOf(id)).toMatchObject({ printed: 0, built: 0, painted: 0 })
  })

  test('a file in the archive is there to be printed, with a plan and without', async () => {
    for (const isPlanned of [true, false]) {
      const { id, file } = await anEntry(5, isPlanned)
      expect(await stateOf(id)).toMatchObject({ toBuy: 5, toPrint: 0 })
      await ada.put(`/archive/${file.id}`)
      expect(await stateOf(id)).toMatchObject({ toBuy: 0, toPrint: 5 })
    }
    const { unit } = await aStandIn(ada, { offer: { kind: 'free', price: undefined } })
    const free = await aRoster(ada, { text: `5 x ${unit.name}` })
    await planned(ada, free.id)
    expect(await stateOf(free.id)).toMatchObject({ toBuy: 0, toPrint: 5 })
  })

  test('is counted by one press each, with JavaScript off, and back', async () => {
    const { id, entry, at, supportSetId } = await anEntry(3)
    const plate = await aPlate(ada, [{ supportSetId, tried: 3 }], { printerId })
    await ada.put(`${at}/reports/${plate.prints[0]?.id}`)
    const press = async (words: string) => {
      const { body } = await ada.page(`/rosters/${id}`)
      const [button = ''] = new RegExp(`<button[^>]*aria-label="${words}: [^>]*>`).exec(body) ?? []
      const [name = '', value = ''] = ['name', 'value'].map((of) => new RegExp(`${of}="(\\w+)"`).exec(button)?.[1])
      return ada.submit(`/rosters/${id}/entries/${entry}/state`, { [name]: value })
    }
    expect((await press('One more built')).headers.location).toBe(`/rosters/${id}?said=army-counted#army`)
    expect(await stateOf(id)).toMatchObject({ built: 1, painted: 0 })
    await press('All printed ones built')
    await press('One more painted')
    await press('One more painted')
    expect(await stateOf(id)).toMatchObject({ built: 3, painted: 2 })
    await press('One fewer painted')
    await press('One fewer built')
    expect(await stateOf(id)).toMatchObject({ built: 2, painted: 1 })
    // From a page that was opened before a report was taken back.
    const late = await ada.submit(`/rosters/${id}/entries/${entry}/state`, { built: '4' })
    expect(late.statusCode).toBe(422)
    expect(late.body).toContain('Only 3 are printed.')
  })

  test('home says what is next: to buy, to print with plates and hours, to build, to paint', async () => {
    const { unit, file, offer } = await aStandIn(ben)
    const { id } = await aPrinter(ben)
    const roster = await aRoster(ben, { name: 'Reed host', text: `4 x ${unit.name}` })
    const next = async () =>
      /<ul[^>]*id="next"[^>]*>.*?<a href="([^"]*)">([^<]*)</.exec((await ben.page('/')).body)?.slice(1)
    const at = `/rosters/${roster.id}`
    expect(await next()).toEqual([`${at}#plan`, `choose a file for 4 ${unit.name}`])
    const plan = await planned(ben, roster.id)
    expect(await next()).toEqual([`${at}#shopping`, `buy the file for 4 ${unit.name}`])
    await ben.post(`${at}/purchases`, { offerId: offer.id })
    const { plates, hours } = plan.entries[0] as unknown as { plates: number; hours: number }
    const list = `${plates === 1 ? 'one plate' : `${plates} plates`}, ${hoursWords(hours)}`
    expect(await next()).toEqual([`${at}#printing`, `print 4 ${unit.name}: ${list}`])
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    const entry = `${at}/entries/${roster.entries[0]?.id}`
    for (const words of [`print 1 more ${unit.name}: one plate`, `build 4 ${unit.name}`]) {
      const tried = words.startsWith('print') ? 3 : 1
      const report = await aReport(ben, { supportSetId, printerId: id, tried })
      await ben.put(`${entry}/reports/${report.id}`)
      expect((await next())?.[1]).toContain(words)
    }
    await ben.patch(entry, { built: 4, painted: 3 })
    expect(await next()).toEqual([`${at}#army`, `paint 1 ${unit.name}`])
    await ben.patch(entry, { painted: 4 })
    expect(await next()).toBeUndefined()
  })

  test('home and the roster name the same next step, and neither waits for what nobody knows a file for', async () => {
    const [first, second] = [await aStandIn(ben), await aStandIn(ben)]
    const { id: printerId } = await aPrinter(ben)
    const wished = await aUnit(ben)
    const text = [wished, first.unit, second.unit].map(({ name }) => `2 x ${name}`).join('\n')
    const roster = await aRoster(ben, { name: 'Weir watch', text })
    const at = `/rosters/${roster.id}`
    const steps = async () => {
      const home = new RegExp(`<a href="${at}#[^"]*">([^<]*)<`).exec((await ben.page('/')).body)?.[1]
      const here = /id="next">\s*<p>\s*<strong>Next:<\/strong> ([^<]*?)\.<\/p>/.exec((await ben.page(at)).body)?.[1]
      return [home, here]
    }
    expect(await steps()).toEqual([`choose a file for 2 ${first.unit.name}`, `choose a file for 2 ${first.unit.name}`])
    const supportSetId = second.file.revisions[0]?.supportSets[0]?.id ?? ''
    const report = await aReport(ben, { supportSetId, printerId, tried: 2 })
    await ben.put(`${at}/entries/${roster.entries[2]?.id}/reports/${report.id}`)
    // What is printed could be built, yet another entry still wants its file.
    expect(await steps()).toEqual([`choose a file for 2 ${first.unit.name}`, `choose a file for 2 ${first.unit.name}`])
    await ben.delete(`${at}/entries/${roster.entries[1]?.id}`)
    expect(await steps()).toEqual([`build 2 ${second.unit.name}`, `build 2 ${second.unit.name}`])
  })

  test('plates and hours of a part go by the plan’s list in proportion', () => {
    const row = { rosterId: '', roster: '', unit: '', toBuy: 0, printed: 9, built: 0, painted: 0 }
    const listed = { planned: 12, plates: 4, hours: 17 }
    // 3 of 12 models that take 4 plates of 4 1/4 hours: one plate; 4 of them are more than one.
    expect(nextStep({ ...row, toPrint: 3, ...listed })).toMatchObject({ what: 'print', plates: 1, hours: 4.25 })
    expect(nextStep({ ...row, toPrint: 4, ...listed })).toMatchObject({ plates: 2, hours: 8.5 })
    const unlisted = { planned: 12, plates: null, hours: null }
    expect(nextStep({ ...row, toPrint: 4, ...unlisted })).toMatchObject({ models: 4, plates: null, hours: null })
  })

  test('is the owner’s alone to see, and to change', async () => {
    const { id, at } = await anEntry(2, false)
    await ada.patch(`/rosters/${id}`, { shared: true })
    expect((await ben.get(`/rosters/${id}`)).json().entries[0].state).toBeNull()
    expect((await ben.page(`/rosters/${id}`)).body).not.toContain('to buy')
    expect((await ben.patch(at, { built: 0 })).statusCode).toBe(403)
    expect((await ben.submit(`${at}/state`, { built: '0' })).statusCode).toBe(403)
  })
})
