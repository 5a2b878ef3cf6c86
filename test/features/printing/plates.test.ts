import type { KyselyPlugin } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { addPlate } from '../../../server/features/printing/plates/changes.ts'
import type { NewPlate } from '../../../server/features/printing/plates/schema.ts'
import { groupOf } from '../../../server/http/group.ts'
import { outsider } from '../../support/app.ts'
import { aRevision, aSnag } from '../../support/catalogue.ts'
import { aPlate, aPrintable, aPrinter, aReport, plateBody, someUpkeep } from '../../support/printing.ts'
import { type Group, startGroup } from '../../support/rosters.ts'

const snapped = (copies: number) => [{ seen: 'supports snapped', copies }]
const film = (copies: number) => [{ seen: 'stuck to the film', copies }]
const [one, two] = [{ headers: { 'if-match': '"1"' } }, { headers: { 'if-match': '"2"' } }]

let { app, close, odile, ada, ben } = {} as Group
let db: Db
let printerId: string
let sets: { fileId: string; title: string; supportSetId: string }[]
beforeAll(async () => {
  ;({ app, db, close, odile, ada, ben } = await startGroup())
  printerId = (await aPrinter(ada)).id
  sets = [await aPrintable(ada), await aPrintable(ada), await aPrintable(ada)]
})
afterAll(() => close())

const set = (index: number) => sets[index]?.supportSetId ?? ''
/** Plates that a fit has to look at, since the last time somebody asked. */
async function marked(): Promise<(string | null)[]> {
  const rows = await db.deleteFrom('fitMark').returning('plateId').execute()
  return rows.map(({ plateId }) => plateId)
}
const post = (prints: Parameters<typeof plateBody>[0], over = {}) =>
  ada.post('/plates', plateBody(prints, { printerId, ...over }))

describe('a plate of several prints', () => {
  test('is kept whole, with a verdict of its own and the share of each print that failed', async () => {
    const answer = await post(
      [
        { supportSetId: set(0), tried: 5, failures: film(3), mended: 1 },
        { supportSetId: set(1), tried: 2, failures: film(2) },
        { supportSetId: set(2), tried: 1 },
      ],
      { crowding: 'packed', remark: 'two heroes and a test piece' },
    )
    expect(answer.statusCode).toBe(201)
    const { verdict, ...plate } = answer.json()
    expect(answer.headers.location).toBe(`/api/v1/plates/${plate.id}`)
    expect(plate).toMatchObject({
      member: { name: 'Ada' },
      printer: { id: printerId },
      crowding: 'packed',
      told: true,
      version: 1,
      prints: [
        { file: { title: sets[0]?.title }, tried: 5, good: 2, mended: 1, failures: film(3) },
        { file: { title: sets[1]?.title }, tried: 2, good: 0, mended: 0 },
        { file: { title: sets[2]?.title }, tried: 1, good: 1, failures: [] },
      ],
    })
    expect(verdict.file + verdict.machine + verdict.plate).toBeCloseTo(1, 9)
    expect(verdict.prints.map(({ id }: { id: string }) => id)).toEqual([plate.prints[0].id, plate.prints[1].id])
    // The plate's share is that of its failed copies, print by print.
    const [first, second] = verdict.prints
    for (const stage of ['file', 'machine', 'plate'])
      expect(verdict[stage]).toBeCloseTo((3 * first[stage] + 2 * second[stage]) / 5, 6)
    expect((await ben.get(`/plates/${plate.id}`)).json()).toEqual({ ...plate, verdict })
    expect((await ben.get(`/plates?printerId=${printerId}`)).json().items).toContainEqual(plate)
  })

  test('is listed print by print among the reports, each with its plate', async () => {
    const { id, prints, verdict } = await aPlate(
      ada,
      [{ supportSetId: set(0), failures: snapped(1) }, { supportSetId: set(1) }],
      { printerId },
    )
    const listed = (await ben.get(`/reports?printerId=${printerId}&limit=100`)).json().items
    const own = listed.filter(({ plateId }: { plateId: string }) => plateId === id)
    expect(own.map((report: { id: string }) => report.id).sort()).toEqual(prints.map((print) => print.id).sort())
    const first = (await ben.get(`/reports/${prints[0]?.id}`)).json()
    expect(first).toMatchObject({ plateId: id, good: 5, crowding: 'about full' })
    expect((await ben.get(`/reports/${prints[1]?.id}/verdict`)).json()).toEqual(verdict)
    const ofFile = (await ben.get(`/reports?fileId=${sets[1]?.fileId}`)).json().items
    expect(ofFile.map((report: { id: string }) => report.id)).not.toContain(prints[0]?.id)
  })

  test('is refused as a whole, at the print and field that is wrong', async () => {
    const cases: [Parameters<typeof plateBody>[0], object, string][] = [
      [[], {}, '/prints'],
      [[{ supportSetId: set(0) }], { prints: undefined }, '/prints'],
      [[{ supportSetId: set(0) }, { supportSetId: set(0) }], {}, '/prints/1/supportSetId'],
      [[{ supportSetId: set(0) }, { supportSetId: printerId }], {}, '/prints/1/supportSetId'],
      [[{ supportSetId: set(0) }, { supportSetId: set(1), good: 5 }], {}, '/prints/1/failures'],
      [[{ supportSetId: set(0), failures: snapped(1), mended: 2 }], {}, '/prints/0/mended'],
      [[{ supportSetId: set(0), mendedMinutes: 3 }], {}, '/prints/0/mendedMinutes'],
      [
        [
          { supportSetId: set(0), tried: 300 },
          { supportSetId: set(1), tried: 300 },
        ],
        {},
        '/prints',
      ],
      [[{ supportSetId: set(0) }], { crowding: 'loose' }, '/crowding'],
      [[{ supportSetId: set(0) }], { told: false }, '/told'],
      [[{ supportSetId: set(0) }], { printedOn: '2999-01-01' }, '/printedOn'],
      [[{ supportSetId: set(0), blame: 'file' }], {}, '/prints/0/blame'],
    ]
    for (const [prints, over, path] of cases) {
      const answer = await post(prints, over)
      expect([path, answer.statusCode, answer.json().errors?.[0]?.path]).toEqual([path, 422, path])
    }
    expect((await ben.post('/plates', plateBody([{ supportSetId: set(0) }], { printerId }))).statusCode).toBe(403)
    expect((await outsider(app).post('/plates', plateBody([]))).statusCode).toBe(401)
  })

  test('costs few statements, however many prints it has', async () => {
    let statements = 0
    const counter: KyselyPlugin = {
      transformQuery: ({ node }) => node,
      async transformResult({ result }) {
        statements += 1
        return result
      },
    }
    const viewer = {
      id: ada.id,
      name: 'Ada',
      role: 'member' as const,
      defaultPrinterId: null,
      resin: null,
      defaultCrowding: 'packed' as const,
      group: await groupOf(db),
    }
    for (const prints of [
      [{ supportSetId: set(0), failures: snapped(2) }],
      sets.map((own) => ({ ...own, failures: film(1) })),
    ]) {
      statements = 0
      const body = plateBody(
        prints.map(({ supportSetId, failures }) => ({ supportSetId, failures, mended: 1, mendedMinutes: 4 })),
      )
      await addPlate(db.withPlugin(counter), viewer, {
        ...body,
        printerId,
        resinId: null,
        remark: '',
        told: true,
      } as NewPlate)
      expect(statements).toBe(1)
    }
  })
})

describe('a plate is changed', () => {
  test('whole, and a print that is told again stays the print that it is', async () => {
    const made = await aPlate(ada, [{ supportSetId: set(0) }, { supportSetId: set(1), failures: film(2) }], {
      printerId,
    })
    const [kept, changed] = made.prints
    const prints = [
      { id: kept?.id, supportSetId: set(1), tried: 4, good: 4 },
      { id: changed?.id, supportSetId: set(0), tried: 3, good: 1, failures: snapped(2), mended: 1 },
      { supportSetId: set(2), tried: 2, good: 2 },
    ]
    const answer = await ada.patch(`/plates/${made.id}`, { prints, crowding: 'half empty' }, one)
    expect(answer.json()).toMatchObject({
      crowding: 'half empty',
      version: 2,
      prints: [
        { id: kept?.id, supportSet: { id: set(1) }, tried: 4 },
        { id: changed?.id, good: 1, mended: 1, failures: snapped(2) },
        { tried: 2 },
      ],
    })
    const third = answer.json().prints[2].id
    // Without ids, by their supports.
    const fewer = [
      { supportSetId: set(2), tried: 2, good: 1, failures: film(1) },
      { supportSetId: set(1), tried: 4, good: 4 },
    ]
    const after = (await ada.patch(`/plates/${made.id}`, { prints: fewer })).json()
    expect(after.prints.map(({ id }: { id: string }) => id)).toEqual([kept?.id, third])
    expect((await ada.get(`/reports/${changed?.id}`)).statusCode).toBe(404)
    expect((await ada.patch(`/plates/${made.id}`, { remark: 'late' }, one)).statusCode).toBe(412)
  })

  test('with no print of another plate, nor one twice', async () => {
    const other = await aReport(ada, { printerId, supportSetId: set(0) })
    const made = await aPlate(ada, [{ supportSetId: set(0) }], { printerId })
    const own = { id: made.prints[0]?.id, supportSetId: set(0), tried: 1, good: 1 }
    const foreign = await ada.patch(`/plates/${made.id}`, { prints: [{ ...own, id: other.id }] })
    expect(foreign.json().errors).toMatchObject([{ path: '/prints/0/id' }])
    const twice = await ada.patch(`/plates/${made.id}`, { prints: [own, { ...own, supportSetId: set(1) }] })
    expect(twice.json().errors).toMatchObject([{ path: '/prints/1/id' }])
  })

  test('by one of its reports, which leaves the others as they are', async () => {
    const { id, prints } = await aPlate(ada, [{ supportSetId: set(0) }, { supportSetId: set(1) }], { printerId })
    const changed = await ada.patch(`/reports/${prints[0]?.id}`, { good: 4, failures: film(2), crowding: 'packed' })
    expect(changed.json()).toMatchObject({
      id: prints[0]?.id,
      good: 4,
      crowding: 'packed',
      verdict: { prints: [{ id: prints[0]?.id }] },
    })
    expect((await ada.get(`/plates/${id}`)).json()).toMatchObject({
      crowding: 'packed',
      version: 2,
      prints: [{ good: 4 }, { good: 6 }],
    })
    const twice = await ada.patch(`/reports/${prints[0]?.id}`, { supportSetId: set(1) })
    expect(twice.json().errors).toMatchObject([{ path: '/supportSetId' }])
  })

  test('by its author alone; stewards may remove it, and a print', async () => {
    const { id, prints } = await aPlate(ada, [{ supportSetId: set(0) }, { supportSetId: set(1) }], { printerId })
    expect((await ben.patch(`/plates/${id}`, { remark: 'no' }, one)).statusCode).toBe(403)
    expect((await odile.patch(`/plates/${id}`, { remark: 'no' }, one)).statusCode).toBe(403)
    expect((await ben.delete(`/plates/${id}`, one)).statusCode).toBe(403)
    expect((await odile.delete(`/reports/${prints[0]?.id}`, one)).statusCode).toBe(204)
    expect((await ada.get(`/plates/${id}`)).json()).toMatchObject({ version: 2, prints: [{ id: prints[1]?.id }] })
    expect((await odile.delete(`/plates/${id}`)).statusCode).toBe(428)
    expect((await odile.delete(`/plates/${id}`, one)).statusCode).toBe(412)
    expect((await odile.delete(`/plates/${id}`, two)).statusCode).toBe(204)
    for (const call of [ada.get, ada.delete]) expect((await call(`/plates/${id}`)).statusCode).toBe(404)
    expect((await ada.patch(`/plates/${id}`, { remark: 'gone' })).statusCode).toBe(404)
  })

  test('with the last print the plate goes', async () => {
    const { id, plateId } = await aReport(ada, { printerId, supportSetId: set(0) })
    expect((await ada.delete(`/reports/${id}`)).statusCode).toBe(204)
    expect((await ada.get(`/plates/${plateId}`)).statusCode).toBe(404)
  })
})

describe('a failed plate that is noted while it is still wet', () => {
  test('has no prints and counts for nothing until it is told in full', async () => {
    await marked()
    const noted = (await post([], { told: false, prints: undefined })).json()
    expect(noted).toMatchObject({ told: false, prints: [], verdict: { file: 0, likely: null, prints: [] } })
    const waiting = async () => (await ben.get(`/plates?memberId=${ada.id}&told=false`)).json().items
    expect(await waiting()).toMatchObject([{ id: noted.id }])
    await ada.patch(`/plates/${noted.id}`, { crowding: 'packed', remark: 'popped' })
    expect(await marked()).toEqual([])

    const prints = [{ supportSetId: set(0), tried: 6, good: 0, failures: film(6) }]
    const told = (await ada.patch(`/plates/${noted.id}`, { prints })).json()
    expect(told).toMatchObject({ told: true, crowding: 'packed', remark: 'popped', prints: [{ good: 0 }] })
    expect(told.verdict.file + told.verdict.machine + told.verdict.plate).toBeCloseTo(1, 9)
    expect(await marked()).toEqual([noted.id])
    expect(await waiting()).toEqual([])
  })

  test('can be taken away untold', async () => {
    const noted = (await post([], { told: false, prints: undefined })).json()
    expect((await ben.delete(`/plates/${noted.id}`, one)).statusCode).toBe(403)
    expect((await ada.delete(`/plates/${noted.id}`)).statusCode).toBe(204)
  })
})

describe('for the scoring', () => {
  test('every plate that is told, changed or removed leaves a mark; a remark does not', async () => {
    const { id, prints } = await aPlate(ada, [{ supportSetId: set(0) }, { supportSetId: set(1) }], { printerId })
    await marked()
    await ada.patch(`/plates/${id}`, { remark: 'by night' })
    await ada.patch(`/reports/${prints[0]?.id}`, { remark: 'by day' })
    expect(await marked()).toEqual([])
    const changes = [
      () => ada.patch(`/plates/${id}`, { crowding: 'packed' }),
      () => ada.patch(`/reports/${prints[0]?.id}`, { tried: 5, good: 5 }),
      () => ada.delete(`/reports/${prints[0]?.id}`),
      () => ada.delete(`/plates/${id}`),
    ]
    for (const change of changes) {
      expect((await change()).statusCode).toBeLessThan(300)
      expect(await marked()).toEqual([id])
    }
  })
})

test('what else changes the worth of plates leaves a mark too: upkeep, revisions, supports, mended snags, sculptors', async () => {
  const { fileId, revisionId } = await aPrintable(ada)
  const { id: later } = await aRevision(ada, fileId, { label: 'later', releasedOn: '2025-03-01' })
  const snag = await aSnag(ada, fileId, revisionId, { kind: 'too light supports' })
  const upkeep = await someUpkeep(ada, printerId, '2025-05-01')
  await marked()
  const sculptor = { name: 'Fallow Bench' }
  const changes: [string, () => Promise<{ statusCode: number }>, number][] = [
    ['upkeep', () => ada.post(`/printers/${printerId}/upkeep`, { kind: 'film changed', on: '2025-05-20' }), 1],
    ['taken back', () => ada.delete(`/upkeep/${upkeep.id}`), 1],
    ['supports', () => ada.post(`/revisions/${later}/support-sets`, { kind: 'as supplied' }), 1],
    ['a day of release', () => ada.patch(`/revisions/${later}`, { releasedOn: '2025-03-02' }), 1],
    ['a label', () => ada.patch(`/revisions/${later}`, { label: 'second' }), 0],
    ['a snag', () => ada.patch(`/snags/${snag.id}`, { state: 'mended', mendedInRevisionId: later }), 1],
    ['its words', () => ada.patch(`/snags/${snag.id}`, { detail: 'left arm' }), 0],
    ['a sculptor', () => ada.patch(`/files/${fileId}`, { sculptor }), 1],
    ['a title', () => ada.patch(`/files/${fileId}`, { title: 'Eel Pots' }), 0],
  ]
  for (const [what, change, marks] of changes) {
    expect([what, (await change()).statusCode]).toEqual([what, expect.toSatisfy((status: number) => status < 300)])
    expect([what, await marked()]).toEqual([what, Array(marks).fill(null)])
  }
})

test('a sculptor who asked not to be named is not named by a remark that came with another file’s print', async () => {
  const sculptor = { name: 'Wilgard Sedgeley', credit: 'unnamed' }
  const hidden = await aPrintable(odile, { sculptor })
  const { id, prints } = await aPlate(ada, [{ supportSetId: set(0) }, { supportSetId: hidden.supportSetId }], {
    printerId,
    remark: 'Sedgeley did well',
  })
  for (const path of [
    `/plates/${id}`,
    `/plates?printerId=${printerId}`,
    `/reports/${prints[0]?.id}`,
    `/reports?fileId=${sets[0]?.fileId}`,
  ]) {
    expect((await ben.get(path)).body).not.toContain('Sedgeley')
    expect((await odile.get(path)).body).toContain('Sedgeley')
  }
})
