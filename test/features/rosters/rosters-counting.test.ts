import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, type Group, planned, startGroup } from '../../support/rosters.ts'

describe('a print that counts for an entry', () => {
  let { close, ada, ben } = {} as Group
  let printerId: string
  beforeAll(async () => {
    ;({ close, ada, ben } = await startGroup())
    printerId = (await aPrinter(ada)).id
  })
  afterAll(() => close())

  async function anEntry(models = 6) {
    const { unit, file } = await aStandIn(ada)
    const roster = await aRoster(ada, { name: 'Reed host', text: `${models} x ${unit.name}` })
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    return { unit, file, id: roster.id, entryId: roster.entries[0]?.id ?? '', supportSetId }
  }
  const printed = async (id: string) => (await ada.get(`/rosters/${id}`)).json().entries[0].state.printed

  test('is offered at the end of a report, and counted with it', async () => {
    const { unit, file, id, entryId, supportSetId } = await anEntry()
    const form = await ada.page(`/reports/new?fileId=${file.id}`)
    expect(form.body).toContain(`6 × ${unit.name}, Reed host`)
    const fields = {
      printerId,
      printedOn: '2025-06-01',
      crowding: 'packed',
      remark: '',
      'prints.0.fileId': file.id,
      'prints.0.supports': supportSetId,
      'prints.0.tried': '4',
      'prints.0.good': '4',
    }
    const other = await aRoster(ben, { text: `2 x ${unit.name}` })
    const foreign = await ada.submit('/reports/new', { ...fields, 'prints.0.entryId': other.entries[0]?.id ?? '' })
    expect(foreign.statusCode).toBe(422)
    expect(foreign.body).toContain('no longer in any of your rosters')
    const sent = await ada.submit('/reports/new', { ...fields, 'prints.0.entryId': entryId })
    expect(sent.statusCode).toBe(303)
    expect(await printed(id)).toBe(4)
    const plate = (await ada.page(String(sent.headers.location))).body
    expect(plate).toContain('Counted for')
    expect(plate).toContain(`<a href="/rosters/${id}">Reed host</a>`)
  })

  test('is filled in by the press of its roster', async () => {
    const { file, id, entryId } = await anEntry()
    await planned(ada, id)
    await ada.put(`/archive/${file.id}`)
    await planned(ada, id)
    const { body } = await ada.page(`/rosters/${id}`)
    const href = /<a class="button button-main" href="(\/reports\/new[^"]*)">Report this plate/.exec(body)?.[1] ?? ''
    const form = (await ada.page(href.replaceAll('&amp;', '&'))).body
    expect(href).toContain(`fileId=${file.id}`)
    // So is it by the entry's line in the printing list.
    const listed = /<a class="button" href="([^"]*)">Report a plate/.exec(body)?.[1]
    expect(listed).toBe(href)
    expect(form).toContain(`<option value="${entryId}" selected`)
    const copies = new URLSearchParams(href.replaceAll('&amp;', '&')).get('copies')
    expect(form).toMatch(
      new RegExp(`name="prints.0.tried"[^>]*value="${copies}"|value="${copies}"[^>]*name="prints.0.tried"`),
    )
    expect((await ada.page(`/reports/new?fileId=${file.id}&copies=x&entryId=y`)).statusCode).toBe(200)
  })

  test('is offered on its own page afterwards, to its owner alone, until the entry is all printed', async () => {
    const { unit, id, entryId, supportSetId } = await anEntry(3)
    const [report, late] = [
      await aReport(ada, { supportSetId, printerId, tried: 3 }),
      await aReport(ada, { supportSetId, printerId, tried: 3 }),
    ]
    const words = `Count it for 3 × ${unit.name} of Reed host`
    expect((await ada.page(`/reports/${report.id}`)).body).toContain(words)
    expect((await ben.page(`/reports/${report.id}`)).body).not.toContain('Count it')
    const tie = { entryId, reportId: report.id }
    expect((await ada.submit(`/rosters/${id}/prints`, tie)).statusCode).toBe(303)
    expect(await printed(id)).toBe(3)
    expect((await ada.page(`/reports/${report.id}`)).body).not.toContain(words)
    expect((await ada.page(`/reports/${late.id}`)).body).not.toContain(words)
    // Nothing stands on the roster's own page that is zero.
    expect((await ada.page(`/rosters/${id}`)).body).not.toContain('0 printed')
  })

  test('an entry that the group is asked for says so in the list, and is not offered for asking again', async () => {
    const roster = await aRoster(ada, { text: '4 x Nobody has met these' })
    const at = `/rosters/${roster.id}`
    expect((await ada.page(at)).body).toContain('href="#ask">ask the group')
    const { items } = (await ada.post(`${at}/requests`, { entryIds: [roster.entries[0]?.id] })).json()
    expect((await ada.get(at)).json().entries[0].asked.requestId).toBe(items[0].id)
    const { body } = await ada.page(at)
    expect(body).toContain(`<a href="/requests/${items[0].id}">asked for</a>`)
    expect(body).toContain('the group is asked</a>')
    expect(body).not.toContain('can be asked for')
    expect(body).not.toContain('Ask the group for the')
  })
})
