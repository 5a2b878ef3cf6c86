import { afterAll, beforeAll, expect, test } from 'vitest'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { aPrinter, aResin } from '../../support/printing.ts'

let close: () => Promise<void>
let ada: Person

beforeAll(async () => {
  const started = await startApp()
  close = started.close
  ada = await member(await owner(started.app), 'Ada')
})
afterAll(() => close())

test('beside one’s usual ways stand the printer’s plate and what the bottle cost', async () => {
  expect((await ada.page('/me')).body).toContain('No usual resin: the group’s price counts.')
  const printer = await aPrinter(ada, { name: 'Tin Lid', plateMm: [150, 90] })
  await aResin(ada, { name: 'Slate', price: { amount: '33.00', currency: 'EUR' }, bottleG: 1000 })
  await ada.patch('/me', { defaultPrinterId: printer.id })
  const body = (await ada.page('/me')).body
  expect(body).toContain('A plate of 150 × 90 mm from above')
  expect(body).toMatch(/33\.00<\/\w+> for 1000 g/)
})
