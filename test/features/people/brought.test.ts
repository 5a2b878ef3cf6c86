import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { countBrought } from '../../../server/features/people/members/brought.ts'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { aPrinter, aReport, aResin } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

let close: () => Promise<void>
let db: Db
let ada: Person
let ben: Person

beforeAll(async () => {
  const started = await startApp()
  ;({ close, db } = started)
  const odile = await owner(started.app)
  ada = await member(odile, 'Ada')
  ben = await member(odile, 'Ben')
})
afterAll(() => close())

test('members are shown with what they brought, and nothing that is zero is listed', async () => {
  const asked = await aRequest(ada, { unit: { name: 'Marsh Lancers', setting: 'the fen', scaleMm: 28 } })
  const { file } = await aProposal(ben, asked.id)
  await aReport(ben)
  await aReport(ben)
  const body = (await ada.page('/members')).body
  expect(body).toContain('Asked for 1 unit')
  expect(body).toContain('Reported 2 plates, proposed 1 file')
  expect(body).toContain('Nothing reported, proposed or asked for yet')
  const bens = (await ada.page(`/members/${ben.id}`)).body
  expect(bens).toContain(': reported 2 plates, proposed 1 file.')
  expect(bens).toContain('Marsh Lancers')
  // By the unit alone: whose file it is might be nobody's to know.
  expect(bens).not.toContain(file.title)
})

test('a plate that was only noted wet does not count yet', async () => {
  const printer = await aPrinter(ada)
  const wet = { printerId: printer.id, printedOn: '2025-06-01', crowding: 'about full', told: false }
  expect((await ada.post('/plates', wet)).statusCode).toBe(201)
  expect((await countBrought(db, [ada.id])).get(ada.id)).toEqual({ plates: 0, proposals: 0, requests: 1 })
  expect((await countBrought(db, [])).size).toBe(0)
})

test('beside one’s usual ways stand the printer’s plate and what the bottle cost', async () => {
  expect((await ada.page('/me')).body).toContain('No usual resin: the group’s price counts.')
  const printer = await aPrinter(ada, { name: 'Tin Lid', plateMm: [150, 90] })
  await aResin(ada, { name: 'Slate', price: { amount: '33.00', currency: 'EUR' }, bottleG: 1000 })
  await ada.patch('/me', { defaultPrinterId: printer.id })
  const body = (await ada.page('/me')).body
  expect(body).toContain('A plate of 150 × 90 mm from above')
  expect(body).toMatch(/33\.00<\/\w+> for 1000 g/)
  expect(body).toContain('not printed with yet')
  await aReport(ada, { printerId: printer.id })
  expect((await ada.page('/me')).body).not.toContain('not printed with yet')
})
