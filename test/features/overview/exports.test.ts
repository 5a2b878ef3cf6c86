import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { aPrintable, aPrinter, aReport } from '../../support/printing.ts'
import { aRequest } from '../../support/requests.ts'

const { odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('lists as tables', () => {
  const rowsOf = async (name: string, person = ada) => {
    const answer = await person.page(`/${name}.csv`)
    expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8')
    expect(answer.headers['content-disposition']).toBe(`attachment; filename="${name}.csv"`)
    return parse(answer.body, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[]
  }
  beforeAll(async () => {
    await aUnit(ada, { name: '=1+2', setting: 'Reeds, "tall" ones\u2028' })
    for (let unit = 0; unit < 130; unit++) await aUnit(ada)
    const { supportSetId } = await aPrintable(ada, { remark: 'First line,\nsecond line' })
    await aReport(ada, { supportSetId, printerId: (await aPrinter(ada)).id, tried: 3, good: 3 })
    await aRequest(ben, { mustHaves: ['@lantern', 'hook'] })
    await aFile(odile, { title: 'Quiet Ones', sculptor: { name: 'Wick Hollow', credit: 'unnamed' } })
  })

  test('has every row once, however many pages the list has', async () => {
    const names = (await rowsOf('units')).map(({ name }) => name)
    expect(names.length).toBeGreaterThan(130)
    expect(new Set(names).size).toBe(names.length)
  })

  // RFC 4180, section 2: lines end in CRLF; fields with commas, quotes or line breaks stand in quotes, quotes are doubled.
  test('comes in the form of RFC 4180', async () => {
    const { body } = await ada.page('/units.csv')
    expect(body).toContain('"Reeds, ""tall"" ones')
    expect(body.replaceAll('\r\n', '')).not.toContain('\n')
    expect((await rowsOf('files')).map(({ remark }) => remark)).toContain('First line,\nsecond line')
  })

  // OWASP, CSV Injection: = + - @ tab and return begin a formula.
  test('begins no formula', async () => {
    expect((await rowsOf('units')).map(({ name }) => name)).toContain("'=1+2")
    expect((await rowsOf('requests')).map(({ mustHaves }) => mustHaves)).toContain("'@lantern; hook")
  })

  test('says who printed what', async () => {
    expect(await rowsOf('reports')).toMatchObject([{ member: 'Ada', supports: 'as supplied', tried: '3', good: '3' }])
  })

  test('names nobody who asked not to be named, but to stewards', async () => {
    const [seen, all] = [await rowsOf('files'), await rowsOf('files', odile)]
    const ofQuiet = (rows: Record<string, string>[]) => rows.find(({ title }) => title === 'Quiet Ones')?.sculptor
    expect([ofQuiet(seen), ofQuiet(all)]).toEqual(['', 'Wick Hollow'])
  })
})
