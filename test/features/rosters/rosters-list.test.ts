import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { aUnit } from '../../support/catalogue.ts'
import { aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, type Group, planned, startGroup } from '../../support/rosters.ts'

describe('the list of rosters', () => {
  let { close, odile, ada, ben } = {} as Group
  beforeAll(async () => {
    ;({ close, odile, ada, ben } = await startGroup())
  })
  afterAll(() => close())

  /** The text of a row, without its drawings. */
  const rowOf = (body: string, name: string) =>
    (body.split('<li class="roster-row">').find((row) => row.includes(`>${name}</a>`)) ?? '')
      .replace(/<svg.*?<\/svg>/gs, '')
      .replace(/<[^>]*>/g, ' ')
      .replace(/\s+/g, ' ')
  const list = async (person = ada) => (await person.page('/rosters')).body
  const textOf = (html: string | undefined) => (html ?? '').replace(/<[^>]*>/g, '')

  test('helps whoever has none, and leads to what may be copied', async () => {
    const before = await list(ben)
    expect(before).toContain('No army here yet')
    expect(before).toContain('href="/rosters/new"')
    expect(before).not.toContain('href="#others"')
    const { id } = await aRoster(odile, { name: 'Weir guard', text: '3 x Somebody', shared: true })
    const after = await list(ben)
    expect(after).toContain('href="#others"')
    expect(after).toContain(`href="/rosters/${id}"`)
  })

  test('says of one’s own how far it has come, what it saves and what is next, as its page and the requests do', async () => {
    const { unit, file } = await aStandIn(ada)
    const wished = await aUnit(ada)
    const { id: printerId } = await aPrinter(ada)
    const roster = await aRoster(ada, { name: 'Reed host', text: `6 x ${unit.name}\n2 x ${wished.name}` })
    expect(rowOf(await list(), 'Reed host')).toContain('not planned yet the boxes €240')
    await planned(ada, roster.id)
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    const report = await aReport(ada, { supportSetId, printerId, tried: 3, failures: [] })
    await ada.put(`/rosters/${roster.id}/entries/${roster.entries[0]?.id}/reports/${report.id}`)
    await ada.patch(`/rosters/${roster.id}/entries/${roster.entries[0]?.id}`, { built: 2, painted: 1 })

    const body = await list()
    const row = rowOf(body, 'Reed host')
    expect(row).toContain('8 models, 2 entries; nobody else sees it')
    expect(row).toContain('1 painted 1 built 1 printed 3 to print 2 wanted: no file yet')
    // What stands in the head of its page, to the last digit, and the step that the page of requests names.
    const page = (await ada.page(`/rosters/${roster.id}`)).body
    const [, figure] = /<span class="sum">([^<]*)</.exec(page) ?? []
    const note = textOf(/<small>(.*?)<\/small>/s.exec(page.slice(page.indexOf('id="saving"')))?.[1])
    expect(figure).toMatch(/% saved$/)
    expect(row).toContain(`${figure} ${note}`)
    const step = new RegExp(`<a href="(/rosters/${roster.id}#[^"]*)">([^<]*)<`).exec((await ada.page('/')).body)
    expect(body).toContain(`<a href="${step?.[1]}">${step?.[2]}<`)
    expect(step?.[2]).toContain(`print 3 more ${unit.name}`)
    // One figure for all that have come equally far.
    const drawn = body.split('>Reed host</a>')[1]?.split('<li class="roster-row">')[0] ?? ''
    expect(drawn.split('<use ').length - 1).toBe(5)
  })

  test('tells nobody else how far it has come or what it costs', async () => {
    const { unit } = await aStandIn(ada)
    const roster = await aRoster(ada, { name: 'Tide line', text: `4 x ${unit.name}`, shared: true })
    await planned(ada, roster.id)
    const row = rowOf(await list(ben), 'Tide line')
    expect(row).toContain('4 models, 1 entry; Ada’s')
    expect(row).not.toMatch(/saved|to print|Next|boxes/)
  })

  test('draws the first entries of a long one and counts the rest', async () => {
    const names =
      'Oakmoot Brineclaw Dunstan Ferrywight Glimmerjaw Husk Ironlark Jesper Kelpie Lantern Moth Nettle Osprey Pike'
    await aRoster(ada, { name: 'Everybody', text: names.replaceAll(' ', '\n') })
    const row = rowOf(await list(), 'Everybody')
    expect(row).toContain('14 models, 14 entries')
    expect(row).toContain('and 2 more entries')
    expect(row).toContain('What is left waits for a stand-in.')
  })

  test('leads an empty one to its list', async () => {
    const { id } = await aRoster(ada, { name: 'Blank sheet' })
    expect(rowOf(await list(), 'Blank sheet')).toContain('No models; nobody else sees it')
    expect(await list()).toContain(`<a href="/rosters/${id}#list">paste its list</a>`)
  })
})
