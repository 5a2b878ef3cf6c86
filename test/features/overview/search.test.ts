import { afterAll, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aFile, anOffer, aUnit } from '../../support/catalogue.ts'

const { ada, close } = await startGroup()
afterAll(close)

/** The kinds that were found, in the order of the page. */
async function kindsFor(q: string): Promise<(string | undefined)[]> {
  const { body } = await ada.page(`/search?q=${encodeURIComponent(q)}`)
  return [...body.matchAll(/<h2>(\w+)<\/h2>/g)].map(([, heading]) => heading)
}

test('what is called exactly what was looked for comes first, then what begins with it, then what is like it', async () => {
  await aUnit(ada, { name: 'Brannock Teals' })
  await aUnit(ada, { name: 'Teal Herons', aliases: ['Marsh Birds'] })
  await aFile(ada, { title: 'Brannoch', sculptor: { name: 'Brannoch Teal' }, standsInFor: [] })
  expect((await kindsFor('brannoch teal'))[0]).toBe('Sculptors')
  expect((await kindsFor('BRANNOCH'))[0]).toBe('Files')
  expect((await kindsFor('Teal'))[0]).toBe('Units')
  expect((await kindsFor('marsh birds'))[0]).toBe('Units')
  const { body } = await ada.page('/search?q=teal')
  expect(body.indexOf('Teal Herons')).toBeLessThan(body.indexOf('Brannock Teals'))
})

test('as many units are priced as have forty stand-ins together, the nearest first; for the others the page says where', async () => {
  const units: { id: string }[] = []
  for (const letter of 'abcdefghij') units.push(await aUnit(ada, { name: `Drowned Sentinel ${letter}` }))
  const standsInFor = units.map(({ id }) => id)
  for (let count = 0; count < 4; count++) await anOffer(ada, (await aFile(ada, { standsInFor })).id)
  const pricesFor = async (q: string) => {
    const { body } = await ada.page(`/search?q=${encodeURIComponent(q)}`)
    const rows = body.split('<li>').filter((row) => row.includes('row-name" href="/units/'))
    expect(rows).toHaveLength(10)
    return { priced: rows.map((row) => row.includes(' a model')), more: body.includes('/units?q=drowned%20sentnel') }
  }
  expect(await pricesFor('drowned sentnel')).toEqual({ priced: Array(10).fill(true), more: false })
  await anOffer(ada, (await aFile(ada, { standsInFor })).id)
  const some = { priced: [...Array(8).fill(true), false, false], more: true }
  expect(await pricesFor('drowned sentnel')).toEqual(some)
  // Called exactly that, it is the nearest, and alone has more than that.
  for (let count = 0; count < 36; count++) await aFile(ada, { standsInFor: [units[9]?.id] })
  const nearest = await pricesFor('Drowned Sentinel j')
  expect(nearest.priced).toEqual([true, ...Array(9).fill(false)])
})
