import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { tables } from '../../server/features/overview/exports/tables.ts'
import { aUnit } from '../support/catalogue.ts'
import { type Group, startGroup } from '../support/rosters.ts'

/*
 * What fails while an answer is on its way, such as a statement that takes too long, ends this answer and nothing else: a
 * failure that nobody hears of ends the process, and this run with it.
 */

let group: Group
let address: string
beforeAll(async () => {
  group = await startGroup()
  await aUnit(group.ada)
  await group.app.listen({ port: 0, host: '127.0.0.1' })
  address = `http://127.0.0.1:${(group.app.server.address() as AddressInfo).port}`
})
afterAll(() => group.close())

const table = () => fetch(`${address}/units.csv`, { headers: { cookie: group.ada.cookie ?? '' } })

test('a table that can’t be begun is answered as any page is', async () => {
  vi.spyOn(tables.units, 'page').mockRejectedValueOnce(new Error('this takes too long'))
  const answer = await table()
  expect([answer.status, answer.headers.get('content-type')]).toEqual([500, 'text/html; charset=utf-8'])
  expect(answer.headers.get('content-disposition')).toBeNull()
})

test('a table that fails on the way breaks off, and the next one comes', async () => {
  const broken = vi.spyOn(tables.units, 'page')
  const row = tables.units.columns.map(() => 'x'.repeat(1000))
  broken.mockResolvedValueOnce({ items: Array.from({ length: 1000 }, () => row), next: 'more' })
  broken.mockRejectedValueOnce(new Error('this takes too long'))
  const answer = await table()
  expect(answer.status).toBe(200)
  await expect(answer.text()).rejects.toThrow()
  const next = await table()
  expect([next.status, (await next.text()).split('\r\n').length]).toEqual([200, 3])
})
