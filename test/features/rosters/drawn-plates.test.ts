import { afterAll, beforeAll, expect, test } from 'vitest'
import { aPrinter } from '../../support/printing.ts'
import { aRoster, aStandIn, type Group, planned, startGroup } from '../../support/rosters.ts'

let group: Group
beforeAll(async () => {
  group = await startGroup()
})
afterAll(() => group.close())

test('the plate drawn for an entry holds as many copies as the plan counts on one, each as it was measured', async () => {
  const { ada } = group
  await aPrinter(ada)
  // Its base is round; measured it is wider, so that fewer go on a plate of 143 x 89 mm.
  const { unit, file } = await aStandIn(ada, { unit: { base: { shape: 'round', widthMm: 25 } } })
  const revision = file.revisions[0]?.id
  const measure = { widthMm: 44, depthMm: 26, heightMm: 45 }
  expect((await ada.put(`/revisions/${revision}/measure`, measure)).statusCode).toBe(200)
  const roster = await aRoster(ada, { text: `30 x ${unit.name}` })
  await planned(ada, roster.id)
  const [entry] = (await ada.get(`/rosters/${roster.id}/plan`)).json().entries
  // (143 + 3) / 47 = 3.1 and (89 + 3) / 29 = 3.2; 3 x 3 are 9 x 47 x 29 of 13,432: 0.91, and 8 are 0.81.
  expect(entry.plates).toBe(Math.ceil(entry.copies / 8))
  const drawn = /<svg class="plate".*?<\/svg>/.exec((await ada.page(`/rosters/${roster.id}`)).body)?.[0] ?? ''
  expect(drawn.match(/<rect class="plate-copy"/g)).toHaveLength(8)
  expect(drawn).not.toContain('<ellipse')
})
