import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { outsider, type Person, password, startGroup } from '../support/app.ts'
import { anOffer, aSnag, aUnit, made } from '../support/catalogue.ts'
import { refitHere } from '../support/kept.ts'
import { aPrintable, aPrinter, aReport, aResin } from '../support/printing.ts'
import { aProposal, aRequest } from '../support/requests.ts'
import { aRoster, euros, planned } from '../support/rosters.ts'
import { counting } from '../support/statements.ts'

/*
 * How many statements a page sends to its database, and that it sends no more of them however many rows it shows. All
 * that Kysely sends is counted: the session's look-up, which brings the group as well, and the one that counts a member's
 * changes. Beginnings and ends of transactions are not, nor what a plan writes after it was answered, its heartbeats and its
 * end: how many there are is a matter of time.
 */
const most = {
  home: 4,
  unit: 6,
  request: 8,
  'request, on a printer of one’s own': 8,
  file: 9,
  printer: 6,
  roster: 12,
  rosters: 8,
  plan: 13,
  me: 7,
  member: 5,
  'a report of which all is good': 3,
  'a report with failures': 5,
}
type Page = keyof typeof most

let watch: ReturnType<typeof counting>
let db: Db
let odile: Person
let ada: Person
let close: () => Promise<void>

beforeAll(async () => {
  const started = await startGroup({
    through: (plain) => {
      watch = counting(plain)
      return watch.db
    },
  })
  ;({ db, odile, ada, close } = started)
})
afterAll(() => close())

/** The statements that a call sends. */
async function sentBy(call: () => Promise<{ statusCode: number }>): Promise<string[]> {
  watch.reset()
  expect((await call()).statusCode).toBeLessThan(400)
  return watch.sent().filter((text) => !text.startsWith('update "roster_plan" set'))
}

/** Waits for the end of all plans, which may come after the answer. */
async function noneRunning() {
  const running = db.selectFrom('rosterPlan').select('id').where('state', '=', 'running')
  while ((await running.execute()).length > 0) await sleep(20)
}

describe('a page asks its database', () => {
  const few: Partial<Record<Page, string[]>> = {}
  const many: Partial<Record<Page, string[]>> = {}
  let at: Awaited<ReturnType<typeof things>>

  beforeAll(async () => {
    at = await things()
    await grow(1)
    await measure(few)
    await grow(9)
    await measure(many)
  })

  async function things() {
    const unit = await aUnit(ada, { retailPrice: euros('40.00') })
    const { id: request } = await aRequest(ada, { unitId: unit.id })
    const { id: roster } = await aRoster(ada, { text: `5 x ${unit.name}` })
    const file = await aPrintable(ada, { standsInFor: [unit.id] })
    const { id: printer } = await aPrinter(ada)
    // The page about oneself draws them.
    const usual = { defaultPrinterId: printer, defaultResinId: (await aResin(ada)).id }
    expect((await ada.patch('/me', usual)).statusCode).toBe(200)
    return { unit, request, roster, file, printer }
  }

  /** So many more requests, answers, files, reports of each kind, entries, purchases, plates still to be told, printers, resins and sessions. */
  async function grow(times: number) {
    const { unit, request, roster, file, printer } = at
    for (let time = 0; time < times; time++) {
      const other = await aUnit(ada)
      await aRequest(odile, { unitId: unit.id })
      const lines = `3 x ${other.name}\n2 x Nobody knows ${'abcdefghij'[time]}`
      const { items } = made<{ items: { id: string }[] }>(await ada.post(`/rosters/${roster}/entries`, { text: lines }))
      const on = await aPrintable(ada, { standsInFor: [unit.id, other.id] })
      await anOffer(ada, file.fileId)
      const { id: offerId } = await anOffer(ada, on.fileId)
      await aSnag(ada, on.fileId, on.revisionId)
      await aSnag(ada, file.fileId, file.revisionId)
      const proposal = await aProposal(ada, request, { fileId: on.fileId })
      await ada.put(`/proposals/${proposal.id}/vote`, { wouldField: true })
      const failures = [{ seen: 'one side of the plate only', copies: 5 }]
      await aReport(ada, { supportSetId: file.supportSetId, printerId: printer, failures })
      const report = await aReport(ada, { supportSetId: on.supportSetId, printerId: printer, failures })
      await ada.put(`/rosters/${roster}/entries/${items[0]?.id}/reports/${report.id}`)
      await ada.put(`/archive/${file.fileId}`)
      made(await ada.post(`/rosters/${roster}/purchases`, { offerId }))
      await aPrinter(odile)
      await aResin(ada)
      made(await outsider(ada.app).post('/sessions', { email: 'ada@group.example', password }))
      const { id: another } = await aRoster(ada, { text: `3 x ${other.name}\n2 x ${unit.name}` })
      await planned(ada, another)
      await aRoster(odile, { text: `2 x ${other.name}`, shared: true })
      made(await ada.post('/plates', { printerId: printer, printedOn: '2025-06-01', crowding: 'packed', told: false }))
    }
    await refitHere(db)
  }

  async function measure(into: Partial<Record<Page, string[]>>) {
    const { unit, request, roster, file, printer } = at
    const form = { 'budget.amount': '', 'budget.currency': 'EUR', allowMemberships: 'true' }
    into.plan = await sentBy(async () => {
      const answer = await ada.submit(`/rosters/${roster}/plan`, form)
      await noneRunning()
      return answer
    })
    const report = (failures: object[]) => {
      const counts = { tried: 5, good: failures.length === 0 ? 5 : 4, failures }
      const { supportSetId } = file
      return ada.post('/reports', {
        supportSetId,
        printerId: printer,
        printedOn: '2025-06-01',
        crowding: 'packed',
        ...counts,
      })
    }
    into['a report of which all is good'] = await sentBy(() => report([]))
    into['a report with failures'] = await sentBy(() => report([{ seen: 'stuck to the film', copies: 1 }]))
    into.home = await sentBy(() => ada.page('/'))
    into.unit = await sentBy(() => ada.page(`/units/${unit.id}`))
    into.request = await sentBy(() => ada.page(`/requests/${request}`))
    into['request, on a printer of one’s own'] = await sentBy(() => ada.page(`/requests/${request}?own=true`))
    into.file = await sentBy(() => ada.page(`/files/${file.fileId}`))
    into.printer = await sentBy(() => ada.page(`/printers/${printer}`))
    into.me = await sentBy(() => ada.page('/me'))
    into.member = await sentBy(() => ada.page(`/members/${odile.id}`))
    into.roster = await sentBy(() => ada.page(`/rosters/${roster}`))
    into.rosters = await sentBy(() => ada.page('/rosters'))
  }

  test.each(Object.entries(most))('%s: at most %d times, and as often for ten times as much', (page, limit) => {
    const sent = many[page as Page] ?? []
    expect(sent.length, sent.join('\n')).toBeLessThanOrEqual(limit)
    expect(sent.length).toBeGreaterThan(0)
    expect(sent, sent.join('\n')).toHaveLength(few[page as Page]?.length ?? 0)
  })

  test('no statement twice', () => {
    // What another file had built before has no text here; by itself this file sees all of them.
    const texts = Object.entries(many).map(([page, sent]) => [page, sent.filter((text) => !/^built before/.test(text))])
    for (const [page, sent = []] of texts) expect(new Set(sent).size, String(page)).toBe(sent.length)
  })
})

describe('as many statements for ten as for one', () => {
  const letters = [...'abcdefghij']
  const oneAndTen = async (call: (letters: string[]) => Promise<string[]>) => {
    const [one, ten] = [await call(letters.slice(0, 1)), await call(letters)]
    expect(ten.length, ten.join('\n')).toBe(one.length)
    expect(ten.length).toBeGreaterThan(0)
  }
  const rosterOf = (names: string[]) => aRoster(ada, { text: names.map((name) => `2 x ${name}`).join('\n') })
  // Names that are nothing like each other, each asked about once.
  const names = 'Oakmoot Brineclaw Dunstan Ferrywight Glimmerjaw Husk Ironlark Jesper Kelpie Lanternjack Moth'.split(
    ' ',
  )

  test('entries that the group is asked about', () =>
    oneAndTen(async (some) => {
      const { id, entries } = await rosterOf(names.splice(0, some.length))
      const entryIds = entries.map((entry) => entry.id)
      return sentBy(() => ada.post(`/rosters/${id}/requests`, { entryIds, setting: 'Ebb', scaleMm: 28 }))
    }))

  test('entries whose unit is told', () =>
    oneAndTen(async (some) => {
      const { id, entries } = await rosterOf(some.map((letter) => `Somebody ${letter}`))
      const { id: unitId } = await aUnit(ada)
      return sentBy(() =>
        ada.submit(`/rosters/${id}/units`, Object.fromEntries(entries.map((entry) => [`units.${entry.id}`, unitId]))),
      )
    }))

  test('files of a bundle that was bought', () =>
    oneAndTen(async (some) => {
      const { id } = await rosterOf(['Anybody'])
      const fileIds: string[] = []
      for (const _ of some) fileIds.push((await aPrintable(ada)).fileId)
      const offer = made(await ada.post('/offers', { kind: 'bundle', price: euros('12.00'), fileIds }))
      return sentBy(() => ada.post(`/rosters/${id}/purchases`, { offerId: offer.id }))
    }))

  test('prints of a plate that a form tells', () =>
    oneAndTen(async (some) => {
      const { id: printerId } = await aPrinter(ada)
      const fields: Record<string, string> = { printerId, printedOn: '2025-06-01', crowding: 'packed', remark: '' }
      for (const index of some.keys()) {
        const { fileId, supportSetId } = await aPrintable(ada)
        Object.assign(fields, { [`prints.${index}.fileId`]: fileId, [`prints.${index}.supports`]: supportSetId })
        Object.assign(fields, { [`prints.${index}.tried`]: '2', [`prints.${index}.good`]: '2' })
      }
      return sentBy(() => ada.submit('/reports/new', fields))
    }))
})
