import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { adviceWords, type Reasons, wouldTell } from '../../../server/features/printing/reports/words.ts'
import { owner, type Person, startApp } from '../../support/app.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, type MadeReport, someUpkeep } from '../../support/printing.ts'

/*
 * What a member reads after a plate that failed, where the case is an odd one: the advice must fit the plate, and its
 * reason must be one.
 */
describe('the reason for an advice', () => {
  let odile: Person
  let db: Db
  let close: () => Promise<void>
  beforeAll(async () => {
    const started = await startApp()
    ;({ close, db } = started)
    odile = await owner(started.app)
  })
  afterAll(() => close())

  type Over = Parameters<typeof aReport>[1]
  const report = (over: Over) => aReport(odile, over)
  const wordsFor = ({ verdict }: MadeReport, code: string) =>
    verdict.advice.find((advice) => advice.code === code)?.words ?? ''
  const none = { tried: 0, good: 0 }
  const reasons: Reasons = {
    blame: { file: 0.1, machine: 0.2, plate: 0.7 },
    tried: 6,
    suspect: null,
    hasNewerRevision: false,
    upkeepSince: false,
    crowding: 'about full',
    seen: [{ seen: 'supports snapped', copies: 2 }],
    lately: { plates: 1, failedPlates: 1, failedFiles: 1 },
    failedFilesElsewhere: none,
    fileElsewhere: none,
    lineEvidence: { copiesByPeriod: [], failures: [] },
    plates: { 'half empty': 0.98, 'about full': 0.95, packed: 0.9 },
  }
  const unsaid = (copies: number) => [{ seen: "don't know", copies }]

  test('counts the copies of a file that cannot be told from its printer', async () => {
    const code = "can't tell the file from that printer yet"
    const { supportSetId } = await aPrintable(odile)
    const { id: printerId } = await aPrinter(odile)
    const first = await report({ supportSetId, printerId, tried: 1, failures: unsaid(1) })
    expect(wordsFor(first, code)).toContain(
      'its only copy came off one printer, and nobody saw what was wrong with the one that failed',
    )
    const second = await report({ supportSetId, printerId, tried: 7, failures: unsaid(3) })
    expect(wordsFor(second, code)).toContain(
      'all 8 of its copies came off one printer between two upkeeps, and nobody saw what was wrong with any of the 4 that failed',
    )
    // Whatever the shares are, what can't be told is not called likely.
    expect(second.verdict).toMatchObject({ canTell: false, likely: null })
    expect((await odile.page(`/reports/${second.id}`)).body).not.toContain('Most likely')
    await report({ supportSetId, tried: 1 })
    const last = await report({
      supportSetId,
      printerId,
      tried: 2,
      failures: [{ seen: 'stuck to the film', copies: 1 }],
    })
    expect(wordsFor(last, code)).toContain(
      '10 of its 11 copies came off one printer between two upkeeps, and nobody saw what was wrong with 4 of the 5 that failed',
    )
  })

  test('says nothing of what was seen where nobody saw it', async () => {
    const { id: printerId } = await aPrinter(odile)
    const { supportSetId } = await aPrintable(odile)
    for (const printedOn of ['2025-05-01', '2025-05-02', '2025-05-03']) await report({ supportSetId, printedOn })
    const first = await report({ supportSetId, printerId, printedOn: '2025-05-01', failures: unsaid(5) })
    for (const printedOn of ['2025-05-02', '2025-05-03', '2025-05-04'])
      await report({ printerId, printedOn, failures: [{ seen: 'one side of the plate only', copies: 5 }] })
    await refitHere(db)
    const verdict = (await odile.get(`/reports/${first.id}/verdict`)).json()
    const words = wordsFor({ ...first, verdict }, 'look at the printer')
    expect(words).toContain('nobody saw what was wrong')
    expect(words).not.toContain('what was seen is')
  })

  test('does not blame supports with how well they print elsewhere', async () => {
    const { supportSetId } = await aPrintable(odile)
    for (const _ of [1, 2, 3]) await report({ supportSetId })
    const failed = await report({ supportSetId, failures: [{ seen: 'part had no support', copies: 1 }] })
    expect(wordsFor(failed, 'other supports or another file')).toBe(
      'Try other supports, or another file: what was seen points to the supports, even though 100 of 100 copies came out good on other printers (18 of 18).',
    )
  })

  test('asks nobody for fewer than one copy', async () => {
    const { supportSetId } = await aPrintable(odile)
    const { id: printerId } = await aPrinter(odile)
    for (let turn = 0; turn < 5; turn++) await report({ supportSetId, printerId, crowding: 'half empty' })
    const plate = { supportSetId, printerId, tried: 1, failures: [{ seen: 'layers pulled apart', copies: 1 }] }
    const packed = await report({ ...plate, crowding: 'packed' })
    expect(wordsFor(packed, 'fewer copies a plate')).toMatch(
      /^Leave more room on the plate: in this group, crowding leaves \d+ of 100 copies unspoilt on packed plates/,
    )
    const two = await report({ ...plate, tried: 2, crowding: 'packed' })
    expect(wordsFor(two, 'fewer copies a plate')).toMatch(
      /^Put fewer copies on the plate: in this group, crowding leaves \d+ of 100 copies unspoilt on packed plates/,
    )
  })

  test('does not say that emptier plates do better where they do not', () => {
    const words = (emptier: number, ordinary: number) =>
      adviceWords(
        { code: 'fewer copies a plate', share: 0.6 },
        { ...reasons, plates: { 'half empty': emptier, 'about full': ordinary, packed: 0.9 } },
      )
    expect(words(0.98, 0.93)).toBe(
      'Put fewer copies on the plate: in this group, crowding leaves 93 of 100 copies unspoilt on plates that are about full, and 98 of 100 on half-empty plates.',
    )
    expect(words(0.92, 0.93)).toBe(
      'Put fewer copies on the plate: what was seen is typical of a full plate, though half-empty plates do no better in this group yet (92 of 100 copies).',
    )
  })

  test('names both where another stage bears nearly as much of the blame', () => {
    const plate = (machine: number, over: Partial<Reasons> = {}) =>
      adviceWords(
        { code: 'fewer copies a plate', share: 0.53 },
        { ...reasons, blame: { file: 0.47 - machine, machine, plate: 0.53 }, ...over },
      )
    expect(plate(0.46)).toBe(
      'Put fewer copies on the plate: in this group, crowding leaves 95 of 100 copies unspoilt on plates that are about full, and 98 of 100 on half-empty plates. The machine bears nearly as much of the blame (46 of 100, the plate 53 of 100): look at the film and the level as well.',
    )
    expect(plate(0.46, { upkeepSince: true })).toMatch(/: the printer had upkeep since, so see how it prints now\.$/)
    expect(plate(0.02)).toContain('The file bears nearly as much of the blame (45 of 100, the plate 53 of 100)')
    // More than 15 of 100 apart, the plate is named alone.
    expect(plate(0.38)).toMatch(/The machine bears nearly/)
    expect(plate(0.37)).not.toMatch(/nearly as much/)

    const file = (over: Partial<Reasons> = {}) =>
      adviceWords(
        { code: 'other supports or another file', share: 0.51 },
        { ...reasons, blame: { file: 0.51, machine: 0.09, plate: 0.4 }, ...over },
      )
    expect(file()).toMatch(
      / The plate bears nearly as much of the blame \(40 of 100, the file 51 of 100\): more room on the plate may help as much\.$/,
    )
    expect(file({ crowding: 'half empty' })).toMatch(/: the same plate once more would tell\.$/)
    expect(file({ blame: { file: 0.7, machine: 0.15, plate: 0.15 } })).not.toContain('nearly as much')
  })

  test('is never quite sure that a printer is worn, and calls no chance below a half probable', () => {
    const words = (probability: number) =>
      adviceWords({ code: 'look at the printer', because: 'probably worn', probability }, reasons)
    expect(words(0.998)).toContain('it is probably worn by now (99 of 100)')
    expect(words(0.31)).toContain('it may be worn by now (31 of 100)')
  })

  test('says what was seen and what would tell, where none is likely', () => {
    const tell = (file: number, machine: number, over = {}) =>
      wouldTell({ file, machine, plate: 1 - file - machine }, { ...reasons, ...over })
    expect(tell(0.45, 0.45)).toBe(
      'Seen: supports snapped (2). Another file on this printer, or this one on another, would tell the file from the machine.',
    )
    expect(tell(0.1, 0.5)).toContain('The same on a half-empty plate, after a look at the film, would tell')
    expect(tell(0.5, 0.1, { crowding: 'half empty' })).toContain(
      'The same plate once more would tell the file from the plate.',
    )
    expect(tell(0.4, 0.3, { seen: [] })).toContain('Nobody saw what was wrong.')
  })

  test('leads from an older revision to a newer one, and says that others printed either', async () => {
    const { fileId, supportSetId } = await aPrintable(odile)
    const failures = [{ seen: 'part had no support', copies: 3 }]
    const plate = await report({ supportSetId, failures })
    expect(wordsFor(plate, 'other supports or another file')).toMatch(/^Try other supports, or another file: /)
    const revision = { label: 'second', releasedOn: '2025-05-20', supportKinds: ['as supplied'] }
    const newer = (await odile.post(`/files/${fileId}/revisions`, revision)).json()
    await report({ supportSetId: newer.supportSets[0].id })
    const verdict = (await odile.get(`/reports/${plate.id}/verdict`)).json()
    expect(wordsFor({ ...plate, verdict }, 'other supports or another file')).toBe(
      'Try a newer revision, other supports, or another file: what was seen points to the supports, even though 100 of 100 copies came out good on other printers (6 of 6, of all revisions).',
    )
  })

  test('does not ask for a look at a printer that had its upkeep since', async () => {
    const { id: printerId } = await aPrinter(odile)
    const failures = [{ seen: 'one side of the plate only', copies: 4 }]
    await report({ printerId, printedOn: '2025-05-01', failures })
    const last = await report({ printerId, printedOn: '2025-05-02', failures })
    expect(wordsFor(last, 'look at the printer')).toMatch(/^Look at the film/)
    expect(last.verdict).toMatchObject({ upkeepSince: null })
    expect((await odile.page(`/reports/${last.id}`)).body).toContain('Note what you did to the printer')

    await someUpkeep(odile, printerId, '2025-05-02')
    const verdict = (await odile.get(`/reports/${last.id}/verdict`)).json()
    expect(verdict).toMatchObject({ upkeepSince: '2025-05-02' })
    expect(wordsFor({ ...last, verdict }, 'look at the printer')).toBe(
      'The printer had upkeep after this plate, so see how it prints now before you blame the file: up to then 2 of its last 2 plates had failures, with 2 different files.',
    )
    const page = (await odile.page(`/reports/${last.id}`)).body
    expect(page).toContain('What was done to the printer')
    expect(page).not.toContain('Note what you did to the printer')
  })
})
