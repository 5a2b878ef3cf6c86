import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { isRightTooSeldom, likelyCause } from '../../../server/features/printing/reports/verdict.ts'
import { likelyFrom } from '../../../server/scoring/verdict.ts'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { refitHere } from '../../support/kept.ts'
import { aPlate, aPrintable, aPrinter, aReport, someUpkeep } from '../../support/printing.ts'

describe('whose fault it was', () => {
  let db: Db
  let close: () => Promise<void>
  let people: Person[]
  let printers: string[]
  beforeAll(async () => {
    const started = await startApp()
    ;({ db, close } = started)
    const odile = await owner(started.app)
    people = [odile, await member(odile, 'Ada'), await member(odile, 'Ben')]
    printers = await Promise.all(people.map(async (person) => (await aPrinter(person)).id))
  })
  afterAll(() => close())

  type Over = Parameters<typeof aReport>[1]
  const report = (who: number, over: Over = {}) =>
    aReport(people[who] as Person, { printerId: printers[who] ?? '', ...over })
  const codes = (made: Awaited<ReturnType<typeof aReport>>) => made.verdict.advice.map(({ code }) => code)

  test('a worn machine: it fails on files that others print well', async () => {
    const files = await Promise.all([1, 2, 3].map(() => aPrintable(people[0] as Person)))
    for (const { supportSetId } of files)
      for (const who of [0, 1]) for (const _ of [1, 2]) await report(who, { supportSetId })
    let last = await report(2, { supportSetId: files[0]?.supportSetId ?? '' })
    for (const { supportSetId } of [...files, ...files])
      last = await report(2, { supportSetId, failures: [{ seen: 'one side of the plate only', copies: 4 }] })
    expect(last.verdict.machine).toBeGreaterThan(0.8)
    expect(last.verdict.canTell).toBe(true)
    expect(codes(last)[0]).toBe('look at the printer')
    // Four plates of six copies each for every file, elsewhere all good.
    expect(last.verdict.advice[0]?.words).toContain(
      '5 of the last 5 plates on this printer had failures, with 3 different files, of which 100 of 100 copies came out good on other printers (72 of 72)',
    )
    expect((await people[0]?.get(`/printers/${printers[2]}`))?.json().look).toMatchObject({ due: true })
    await refitHere(db)
    const again = (await people[0]?.get(`/reports/${last.id}/verdict`))?.json()
    expect(again.machine).toBeGreaterThan(0.8)
  })

  test('a bad file: it fails on every printer, which print others well', async () => {
    const bad = await aPrintable(people[0] as Person)
    const failures = [
      { seen: 'part had no support', copies: 3 },
      { seen: 'supports snapped', copies: 1 },
    ]
    await report(0, { supportSetId: bad.supportSetId, failures })
    const last = await report(1, { supportSetId: bad.supportSetId, failures })
    expect(last.verdict.file).toBeGreaterThan(0.8)
    expect(codes(last)).toEqual(['other supports or another file'])
    expect(last.verdict.advice[0]?.words).toContain('33 of 100 copies came out good on other printers (2 of 6)')
  })

  test('a crowded plate: packed ones fail where the same file and printer do well half empty', async () => {
    const { supportSetId } = await aPrintable(people[0] as Person)
    const failures = [{ seen: 'layers pulled apart', copies: 3 }]
    for (const who of [0, 1])
      for (let turn = 0; turn < 6; turn++) await report(who, { supportSetId, crowding: 'half empty' })
    for (const who of [0, 1]) {
      for (let turn = 0; turn < 4; turn++) await report(who, { supportSetId, crowding: 'packed', failures })
    }
    // What is known of packed plates waits for the full fit.
    await refitHere(db)
    const last = await report(0, { supportSetId, crowding: 'packed', failures })
    expect(last.verdict.plate).toBeGreaterThan(0.6)
    expect(codes(last)).toEqual(['fewer copies a plate'])
    expect(last.verdict.advice[0]?.words).toMatch(/crowding leaves \d\d of 100 copies unspoilt on packed plates/)
  })

  test('a printer that is worn by now wants a look, though this plate failed by its file', async () => {
    const { supportSetId } = await aPrintable(people[0] as Person)
    const printer = await aPrinter(people[0] as Person)
    const on = (day: number, over: Over = {}) =>
      report(0, { supportSetId, printerId: printer.id, printedOn: `2025-03-${String(day).padStart(2, '0')}`, ...over })
    for (let day = 1; day <= 8; day++) await on(day)
    for (let day = 9; day <= 12; day++) await on(day, { failures: [{ seen: 'one side of the plate only', copies: 4 }] })
    const bad = await aPrintable(people[0] as Person)
    const failures = [{ seen: 'part had no support', copies: 5 }]
    for (const who of [1, 2, 1]) await report(who, { supportSetId: bad.supportSetId, failures })
    const last = await on(13, { supportSetId: bad.supportSetId, failures })
    await refitHere(db)
    const verdict = (await people[0]?.get(`/reports/${last.id}/verdict`))?.json()
    expect(verdict.counted).toBe(true)
    expect(verdict.machine).toBeLessThan(0.6)
    expect(verdict.advice[0].code).toBe('look at the printer')
    expect(verdict.advice[0].words).toMatch(/it is probably worn by now \(\d\d of 100\); 5 of the last 5 plates/)
    await someUpkeep(people[0] as Person, printer.id, '2025-03-14')
    const after = (await people[0]?.get(`/reports/${last.id}/verdict`))?.json()
    expect(after).toMatchObject({ upkeepSince: '2025-03-14' })
    expect(after.advice.map(({ code }: { code: string }) => code)).not.toContain('look at the printer')
  })

  test('of several prints on a plate the file that failed is named, and what printed well beside it is not', async () => {
    const [bad, good] = [await aPrintable(people[0] as Person), await aPrintable(people[0] as Person)]
    const failures = [{ seen: 'part had no support', copies: 3 }]
    for (const who of [0, 1]) await report(who, { supportSetId: bad.supportSetId, failures })
    const prints = [{ supportSetId: good.supportSetId }, { supportSetId: bad.supportSetId, failures }]
    const { verdict } = await aPlate(people[2] as Person, prints)
    expect(verdict).toMatchObject({ likely: 'file' })
    expect(verdict.prints).toHaveLength(1)
    expect(verdict.advice.at(-1)?.words).toContain(`other supports, or another file, instead of ${bad.title}:`)
  })
})

describe('what is called likely', () => {
  const blame = (file: number, machine: number) => ({ file, machine, plate: 1 - file - machine })

  test('is a share over the threshold, where so many copies failed that it is mostly right', () => {
    const over = likelyFrom + 0.01
    expect([1, 5].map((failed) => likelyCause(blame(over, 0.1), failed))).toEqual(['file', 'file'])
    expect([1, 3, 4].map((failed) => likelyCause(blame(0.1, over), failed))).toEqual([null, null, 'machine'])
    expect([1, 9].map((failed) => likelyCause(blame(0.05, 0.05), failed))).toEqual([null, null])
    expect(likelyCause(blame(likelyFrom - 0.01, 0.3), 9)).toBeNull()
  })

  test('and what only its kind keeps from being called so is told from what is unclear', () => {
    const judged = { ...blame(0.1, 0.1), likely: null, canTell: true }
    expect(isRightTooSeldom(judged)).toBe(true)
    expect(isRightTooSeldom({ ...judged, canTell: false })).toBe(false)
    expect(isRightTooSeldom({ ...judged, ...blame(0.3, 0.3) })).toBe(false)
    expect(isRightTooSeldom({ ...judged, ...blame(0.8, 0.1), likely: 'file' })).toBe(false)
  })
})
