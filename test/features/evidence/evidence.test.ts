import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import type { Seen } from '../../../db/tables.ts'
import {
  blameOf,
  groupModel,
  lastFit,
  markForFit,
  refit,
  successOfFiles,
} from '../../../server/features/evidence/queries.ts'
import { fileWeight } from '../../../server/features/evidence/rules.ts'
import { machinesOf } from '../../../server/features/printing/printers/machines.ts'
import { drawCount, meanOf, productOf } from '../../../server/scoring/draws.ts'
import { groupDrawsBeforeReports } from '../../../server/scoring/group-draws.ts'
import { memberWeight } from '../../../server/scoring/plates.ts'
import { type Person, startGroup } from '../../support/app.ts'
import { aRevision, aSnag, aSupportSet } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, someUpkeep } from '../../support/printing.ts'
import { counting } from '../../support/statements.ts'
import { aToldPlate } from '../../support/told-plates.ts'

let db: Db
let ada: Person
let ben: Person
let odile: Person
let close: () => Promise<void>
beforeAll(async () => {
  ;({ db, ada, ben, odile, close } = await startGroup())
})
afterAll(() => close())

const successOf = async (fileId: string) => (await successOfFiles(db, [fileId])).get(fileId)?.[0]

type On = { supportSetId: string; printerId: string; memberId?: string; seen?: Seen }

/** Plates of one file on one printer, day after day, so many failed copies on each. */
async function plates(on: On, failed: readonly number[]) {
  const { supportSetId, printerId, memberId = ada.id, seen = 'supports snapped' } = on
  for (const [day, copies] of failed.entries()) {
    const failures = copies > 0 ? [{ seen, copies }] : []
    const printedOn = `2025-06-${String(day + 1).padStart(2, '0')}`
    await aToldPlate(db, { memberId, printerId, printedOn, prints: [{ supportSetId, good: 6 - copies, failures }] })
  }
}

describe('before any report', () => {
  test('everything is what is usual, and says that it goes by nothing', async () => {
    expect(await lastFit(db)).toMatchObject({ fit: 0, fittedAt: null, plates: 0, notCounted: 0, newestMarkS: null })
    const { fileId } = await aPrintable(ada)
    expect(await groupModel(db)).toMatchObject({ fit: 0, isFitted: false, notCounted: 0, hasReports: false })
    const success = await successOf(fileId)
    expect(success).toMatchObject({ copies: 0, basis: 'nothing', cantTell: false })
    const { mu0 } = groupDrawsBeforeReports()
    expect(success?.mean).toBeCloseTo(meanOf(mu0), 1)
  })

  test('a file without supports has one line, as supplied; an unknown one is missing', async () => {
    const made = await ada.post('/files', { title: 'Bare', sculptor: { name: 'Sedge Works' } })
    expect(await successOf(made.json().id)).toMatchObject({ kind: 'as supplied', supportSetId: null })
    expect((await successOfFiles(db, ['0190a000-0000-7000-8000-000000000000'])).size).toBe(0)
  })

  test('a fit of nothing is a fit of nothing', async () => {
    expect(await refitHere(db)).toMatchObject({ plates: 0 })
    expect((await groupModel(db)).hasReports).toBe(false)
  })
})

describe('a group with reports', () => {
  let printed: { fileId: string; supportSetId: string }
  let printerId: string
  beforeAll(async () => {
    printed = await aPrintable(ada, { sculptor: { name: 'Heron Yard' } })
    printerId = (await aPrinter(ada)).id
    await plates({ ...printed, printerId }, [2, 0, 3, 1, 0, 2, 1, 0])
    // Of the usual length: means of different lines are compared.
    await refit(db)
  })

  test('a line has its copies; its sculptor’s others and anybody else’s are guessed, each saying from what', async () => {
    const sibling = await aPrintable(ada, { sculptor: { name: 'Heron Yard' } })
    const stranger = await aPrintable(ada, { sculptor: { name: 'Coot Cottage' } })
    const [own, hinted, guessed] = [
      await successOf(printed.fileId),
      await successOf(sibling.fileId),
      await successOf(stranger.fileId),
    ]
    expect(own?.copies).toBeCloseTo(48 * memberWeight(48), 9)
    expect([hinted?.copies, hinted?.basis, guessed?.copies, guessed?.basis]).toEqual([0, 'sculptor', 0, 'group'])
    expect(hinted?.mean).toBeLessThan(guessed?.mean ?? 0)
    expect((hinted?.high ?? 0) - (hinted?.low ?? 0)).toBeGreaterThan((own?.high ?? 0) - (own?.low ?? 0))
  })

  test('all in is the file’s draws times a machine in order times a plate about full', async () => {
    const { machineInOrder, group } = await groupModel(db)
    const success = await successOf(printed.fileId)
    const product = productOf(success?.draws ?? machineInOrder, machineInOrder, group.plates['about full'])
    expect(success?.draws).toHaveLength(drawCount)
    expect(success?.comesOut.mean).toBeCloseTo(meanOf(product), 12)
    expect(success?.comesOut.mean).toBeLessThan(success?.mean ?? 0)
  })

  test('asked twice, it says the same, however it is asked', async () => {
    const stranger = await aPrintable(ada)
    const both = await successOfFiles(db, [printed.fileId, stranger.fileId])
    expect(both.get(stranger.fileId)).toEqual((await successOfFiles(db, [stranger.fileId])).get(stranger.fileId))
  })

  test.each([1, 30])('%d files are asked for in two statements, one of them for the model', async (count) => {
    const files = [printed.fileId]
    while (files.length < count) files.push((await aPrintable(ada)).fileId)
    const { db: counted, count: statements } = counting(db)
    expect((await successOfFiles(counted, files)).size).toBe(count)
    expect(statements()).toBe(2)
  })

  test('a machine after upkeep is any machine in order, at once', async () => {
    const tired = (await aPrinter(ada)).id
    const seen = 'one side of the plate only'
    await plates({ ...(await aPrintable(ada)), printerId: tired, seen }, [5, 6, 5, 6])
    await refitHere(db)
    const before = (await machinesOf(db, [tired], await groupModel(db))).get(tired)
    expect(before).toMatchObject({ plates: 4, tried: 24, good: 2, isCounted: true })
    await someUpkeep(ada, tired, '2025-07-01')
    const after = (await machinesOf(db, [tired], await groupModel(db))).get(tired)
    expect(after).toMatchObject({ worn: 0, plates: 0, isCounted: false, startsOn: '2025-07-01' })
    expect(after?.mean).toBeGreaterThan(before?.mean ?? 1)
    expect(after?.mean).toBeCloseTo(meanOf((await groupModel(db)).machineInOrder), 1)
  })

  test('a verdict is there at once, from what was kept, and from the fit once the plate is counted', async () => {
    const seen = 'one side of the plate only'
    const { plateId: id, verdict } = await aReport(ada, {
      supportSetId: printed.supportSetId,
      printerId,
      failures: [{ seen, copies: 4 }],
    })
    const fresh = await blameOf(db, id)
    expect(fresh).toMatchObject({ counted: false, untold: null })
    expect(fresh?.machine).toBeCloseTo(verdict.machine, 9)
    expect((fresh?.file ?? 0) + (fresh?.machine ?? 0) + (fresh?.plate ?? 0)).toBeCloseTo(1, 9)
    await refitHere(db)
    const counted = await blameOf(db, id)
    expect(counted).toMatchObject({ counted: true, prints: [{ printId: expect.any(String) }] })
    // The same plate by sequential sampling and by the chain; that they agree closely is the scoring's test.
    expect(counted?.machine).toBeCloseTo(fresh?.machine ?? 0, 0)
    await markForFit(db, id)
    expect(await blameOf(db, id)).toMatchObject({ counted: false })
    await refitHere(db)
  })

  test('nothing failed, nothing to blame', async () => {
    const { plateId } = await aReport(ada, { supportSetId: printed.supportSetId, printerId })
    expect(await blameOf(db, plateId)).toBeNull()
    expect(await blameOf(db, '0190a000-0000-7000-8000-000000000000')).toBeNull()
  })

  test('a plate’s shares are those of its prints, by failed copies', async () => {
    const other = await aPrintable(ada)
    const id = await aToldPlate(db, {
      memberId: ada.id,
      printerId,
      prints: [
        { supportSetId: printed.supportSetId, good: 2, failures: [{ seen: 'supports snapped', copies: 3 }] },
        { supportSetId: other.supportSetId, good: 5, failures: [{ seen: 'stuck to the film', copies: 1 }] },
      ],
    })
    await refitHere(db)
    const blame = await blameOf(db, id)
    const [many, one] = blame?.prints ?? []
    expect(blame?.prints).toHaveLength(2)
    expect(blame?.file).toBeCloseTo((3 * (many?.file ?? 0) + (one?.file ?? 0)) / 4, 6)
    expect(many?.file).toBeGreaterThan(one?.file ?? 1)
  })

  test('a file whose failures on one printer nobody saw can’t be told from that printer', async () => {
    const { fileId, supportSetId } = await aPrintable(ada)
    const id = await aToldPlate(db, {
      memberId: ada.id,
      printerId,
      prints: [{ supportSetId, good: 3, failures: [{ seen: "don't know", copies: 3 }] }],
    })
    await refitHere(db)
    expect(await successOf(fileId)).toMatchObject({ cantTell: true })
    const untold = { copiesByPeriod: [6], failures: [{ seen: "don't know", copies: 3 }] }
    expect(await blameOf(db, id)).toMatchObject({ untold })
  })
})

describe('what a print is worth to its file', () => {
  test('half as much for each later revision, a fifth where a snag on its supports was mended since', () => {
    // SCORING, section 4: delta^lag.
    expect([fileWeight(0, true), fileWeight(1, false), fileWeight(2, false), fileWeight(1, true)]).toEqual([
      1, 0.5, 0.25, 0.2,
    ])
    // A file may have any number of revisions; a weight of nothing would be refused.
    expect(fileWeight(5000, true)).toBeGreaterThan(0)
  })

  test('is worked out anew by each fit: with a new revision, and with a snag that it mends', async () => {
    const { fileId, revisionId, supportSetId } = await aPrintable(ada)
    const printerId = (await aPrinter(ada)).id
    await plates({ supportSetId, printerId }, [0])
    await refitHere(db)
    expect((await successOf(fileId))?.copies).toBeCloseTo(6, 9)
    const later = await aRevision(ada, fileId)
    await aSupportSet(ada, later.id)
    expect((await lastFit(db)).newestMarkS).not.toBeNull()
    await refitHere(db)
    expect((await successOf(fileId))?.copies).toBeCloseTo(3, 9)
    const snag = await aSnag(ada, fileId, revisionId, { kind: 'too light supports' })
    expect((await ada.patch(`/snags/${snag.id}`, { state: 'mended', mendedInRevisionId: later.id })).statusCode).toBe(
      200,
    )
    expect((await lastFit(db)).newestMarkS).not.toBeNull()
    await refitHere(db)
    expect((await successOf(fileId))?.copies).toBeCloseTo(1.2, 9)
  })

  test('one member’s copies on one line and period count in full up to ten; each member’s, and each period’s, apart', async () => {
    const { fileId, supportSetId } = await aPrintable(ada)
    const [one, other] = [(await aPrinter(ada)).id, (await aPrinter(ada)).id]
    await plates({ supportSetId, printerId: one }, [0, 0, 0, 0])
    await plates({ supportSetId, printerId: other }, [0])
    await plates({ supportSetId, printerId: one, memberId: ben.id }, [0])
    await refitHere(db)
    // SCORING, section 4: ten in full, those beyond by the square root of their number.
    expect((await successOf(fileId))?.copies).toBeCloseTo(10 + Math.sqrt(14) + 6 + 6, 9)
  })
})

describe('over REST and by page', () => {
  test('the fit is for stewards; anybody may read how fresh it is', async () => {
    expect((await ada.post('/scoring/fit')).statusCode).toBe(403)
    const fit = await odile.post('/scoring/fit')
    expect(fit.statusCode).toBe(200)
    const { rhat, effectiveSize, sweeps, plates: counted } = fit.json()
    expect(rhat).toBeGreaterThan(0.9)
    expect(effectiveSize).toBeGreaterThan(1)
    expect((await ada.get('/scoring/fit')).json()).toMatchObject({
      rhat,
      effectiveSize,
      sweeps,
      plates: counted,
      notCounted: 0,
    })
  })

  test('the page says how many plates are not counted yet, and lets stewards have them counted', async () => {
    await aReport(ada)
    expect((await ada.get('/scoring/fit')).json()).toMatchObject({ notCounted: 1 })
    const page = (await ada.page('/settings')).body
    expect(page).toContain('1 plate is not counted yet.')
    expect(page).not.toContain('Update all estimates now')
    expect((await odile.page('/settings')).body).toContain('Update all estimates now')
    expect((await odile.submit('/settings/estimates', {})).headers.location).toContain(
      '/settings?said=estimates-renewed',
    )
    expect((await ada.get('/scoring/fit')).json()).toMatchObject({ notCounted: 0 })
    expect((await ada.submit('/settings/estimates', {})).statusCode).toBe(403)
  })
})
