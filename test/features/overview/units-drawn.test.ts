import { afterAll, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aMeasure, aUnit } from '../../support/catalogue.ts'
import { aPrintable } from '../../support/printing.ts'
import { aRequest } from '../../support/requests.ts'

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
