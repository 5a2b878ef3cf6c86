import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { adviceWords } from '../../server/features/reports/words.ts'
import { owner, type Person, startApp } from '../support/app.ts'
import { aPrintable, aPrinter, aReport, type MadeReport, someUpkeep } from '../support/printing.ts'

/*
 * What a member reads after a plate that failed, where the case is an odd one: the advice must fit the plate, and its
 * reason must be one.
 */
describe('the reason for an advice', () => {
  let odile: Person
  let close: () => Promise<void>
  beforeAll(async () => {
    const started = await startApp()
    close = started.close
    odile = await owner(started.app)
  })
  afterAll(() => close())

  type Over = Parameters<typeof aReport>[1]
  const report = (over: Over) => aReport(odile, over)
  const wordsFor = ({ verdict }: MadeReport, code: string) =>
    verdict.advice.find((advice) => advice.code === code)?.words ?? ''
  const unsaid = (copies: number) => [{ seen: "don't know", copies }]

  test('counts the copies of a file that can not be told from its printer', async () => {
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
    await report({ supportSetId, tried: 1 })
    const last = await report({
      ...{ supportSetId, printerId, tried: 2 },
      failures: [{ seen: 'stuck to the film', copies: 1 }],
    })
    expect(wordsFor(last, code)).toContain(
      '10 of its 11 copies came off one printer between two upkeeps, and nobody saw what was wrong with 4 of the 5 that failed',
    )
  })

  test('says nothing of what was seen where nobody saw it', async () => {
    const { id: printerId } = await aPrinter(odile)
    const first = await report({ printerId, printedOn: '2025-05-01', failures: unsaid(3) })
    for (const printedOn of ['2025-05-02', '2025-05-03'])
      await report({ printerId, printedOn, failures: [{ seen: 'one side of the plate only', copies: 5 }] })
    const verdict = (await odile.get(`/reports/${first.id}/verdict`)).json()
    const words = wordsFor({ ...first, verdict }, 'look at the printer')
    expect(words).toContain('nobody saw what was wrong')
    expect(words).not.toContain('what was seen is')
    const page = (await odile.page(`/reports/${first.id}`)).body
    expect(page, 'what can not be told is not called likely').not.toContain('Most likely the machine')
  })

  test('does not blame supports with how well they print elsewhere', async () => {
    const { supportSetId } = await aPrintable(odile)
    for (const _ of [1, 2, 3]) await report({ supportSetId })
    const failed = await report({ supportSetId, failures: [{ seen: 'part had no support', copies: 1 }] })
    expect(wordsFor(failed, 'other supports or another file')).toBe(
      'Try other supports, or another file: what was seen points to the supports, even though other printers bring 100 of 100 through (18 of 18 copies).',
    )
  })

  test('asks nobody for fewer than one copy', async () => {
    const { supportSetId } = await aPrintable(odile)
    const { id: printerId } = await aPrinter(odile)
    for (let turn = 0; turn < 5; turn++) await report({ supportSetId, printerId, crowding: 'loose' })
    const plate = { supportSetId, printerId, tried: 1, failures: [{ seen: 'layers pulled apart', copies: 1 }] }
    const packed = await report({ ...plate, crowding: 'packed' })
    expect(wordsFor(packed, 'fewer copies a plate')).toMatch(/^Leave more room on the plate: packed plates bring/)
    const two = await report({ ...plate, tried: 2, crowding: 'packed' })
    expect(wordsFor(two, 'fewer copies a plate')).toMatch(/^Put fewer copies on the plate: packed plates bring/)
  })

  test('does not say that emptier plates do better where they do not', () => {
    const none = { tried: 0, good: 0 }
    const words = (loose: number, normal: number) =>
      adviceWords(
        { code: 'fewer copies a plate', share: 0.6 },
        {
          ...{ tried: 6, somethingSeen: true, hasNewerRevision: false, upkeepSince: false, crowding: 'normal' },
          lately: { plates: 1, failedPlates: 1, failedFiles: 1 },
          ...{ failedFilesElsewhere: none, fileElsewhere: none, setEvidence: { copiesByPeriod: [], failures: [] } },
          plates: { loose, normal, packed: 0.9 },
        },
      )
    expect(words(0.98, 0.93)).toBe(
      'Put fewer copies on the plate: ordinary plates bring 93 of 100 copies through in this group, half-empty plates 98 of 100.',
    )
    expect(words(0.92, 0.93)).toBe(
      'Put fewer copies on the plate: what was seen is what a full plate does, though half-empty plates do no better in this group yet (92 of 100 copies).',
    )
  })

  test('is never quite sure that a printer got worse', () => {
    const words = adviceWords(
      { code: 'look at the printer', because: 'worse than before', probability: 0.998 },
      {
        ...{ tried: 6, somethingSeen: true, hasNewerRevision: false, upkeepSince: false, crowding: 'normal' },
        lately: { plates: 1, failedPlates: 1, failedFiles: 1 },
        ...{ failedFilesElsewhere: { tried: 0, good: 0 }, fileElsewhere: { tried: 0, good: 0 } },
        ...{ setEvidence: { copiesByPeriod: [], failures: [] }, plates: { loose: 0.98, normal: 0.95, packed: 0.9 } },
      },
    )
    expect(words).toContain('very likely prints worse than before (99 of 100)')
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
      'Try a newer revision, other supports, or another file: what was seen points to the supports, even though other printers bring 100 of 100 through (6 of 6 copies, of whichever revision).',
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
