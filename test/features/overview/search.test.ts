import { afterAll, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'

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
