import { afterAll, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aMeasure, aUnit } from '../../support/catalogue.ts'
import { aPrintable } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

const { ada, close } = await startGroup()
afterAll(close)

/** The drawing in the row of a list that names the unit. */
async function drawnAs(path: string, name: string): Promise<string | undefined> {
  const { body } = await ada.page(path)
  const row = body.split('<li').find((part) => part.includes('class="shadow') && part.includes(name))
  return /class="(shadow shadow-[a-z-]+)"/
    .exec(row ?? '')?.[1]
    ?.concat(row?.includes('<path class="shadow-body"') ? '' : ', a box')
}

test('lists of units and requests draw what stands in for each, and a dashed box where nothing measured does', async () => {
  const known = await aUnit(ada, { name: 'Marsh Lanterns' })
  const unknown = await aUnit(ada, { name: 'Kiln Choir' })
  await aRequest(ada, { unitId: known.id })
  await aRequest(ada, { unitId: unknown.id })
  const { revisionId } = await aPrintable(ada, { standsInFor: [known.id] })
  await aMeasure(ada, `/revisions/${revisionId}`)
  for (const path of ['/', '/units', '/search?q=marsh+lanterns']) {
    expect(await drawnAs(path, 'Marsh Lanterns')).toBe('shadow shadow-built')
  }
  expect(await drawnAs('/', 'Kiln Choir')).toBe('shadow shadow-wanted, a box')
  expect(await drawnAs('/units', 'Kiln Choir')).toBe('shadow shadow-wanted, a box')
})

test('the heads of a request and of a unit, and the forms about them, draw a unit as lists do', async () => {
  const unit = await aUnit(ada, { name: 'Reed Bearers', base: { shape: 'round', widthMm: 32 } })
  const { id } = await aRequest(ada, { unitId: unit.id })
  const ask = `/requests/new?unitId=${unit.id}`
  const paths = [`/requests/${id}`, `/requests/${id}/edit`, `/requests/${id}/propose`, `/units/${unit.id}`, ask]
  const drawn = async () =>
    Promise.all(
      paths.map(async (path) => {
        const { body } = await ada.page(path)
        const [, label, figure] = /role="img" aria-label="([^"]*base[^"]*)"(.*?)<\/svg>/.exec(body) ?? []
        return { label, outline: / d="([^"]*Z)"/.exec(figure ?? '')?.[1] }
      }),
    )
  for (const { label } of await drawn()) expect(label).toMatch(/^A figure, on its base/)
  const older = await aPrintable(ada, { title: 'Rushlight', standsInFor: [unit.id] })
  const newer = await aPrintable(ada, { title: 'Dip Candle', standsInFor: [unit.id] })
  await aMeasure(ada, `/revisions/${older.revisionId}`, { heightMm: 20 })
  await aMeasure(ada, `/revisions/${newer.revisionId}`, { heightMm: 40 })
  const before = await drawn()
  for (const { label } of before) expect(label).toMatch(/^One that stands in for it, on its base/)
  expect(new Set(before.map(({ outline }) => outline)).size).toBe(1)
  // An answer is drawn among the answers; what the page is about stays what it was.
  await aProposal(ada, id, { fileId: older.fileId })
  expect(await drawn()).toEqual(before)
})
