import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider, startGroup } from '../../support/app.ts'
import { aFile, aMeasure, aRevision, aSupportSet, aUnit, measureBody } from '../../support/catalogue.ts'
import { aPrintable } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'
import { aRoster } from '../../support/rosters.ts'

const { app, db, odile, ada, ben, close } = await startGroup()
afterAll(close)

const nobody = '01a1f0c2-6f4e-7b3a-9c55-2f6d1e0a7b31'
const square = (mm: number): [number, number][][] => [
  [
    [0, 0],
    [mm, 0],
    [mm, mm],
  ],
]

describe('a measure', () => {
  test('is kept as it was given, of the sculpt and of each support set by itself', async () => {
    const { revisionId, supportSetId } = await aPrintable(ada)
    const start = { heightMm: 12.5, xMm: 3, yMm: 4.25, areaMm2: 0.5 }
    const supported = measureBody({ heightMm: 42, midAir: [start], layerUm: 50 })
    const kept = await ben.put(`/revisions/${revisionId}/measure`, measureBody())
    expect(kept.statusCode, kept.body).toBe(200)
    expect((await ada.put(`/support-sets/${supportSetId}/measure`, supported)).statusCode).toBe(200)
    const of = { revisionId, supportSetId: null, measuredBy: { id: ben.id, name: 'Ben' } }
    expect((await ada.get(`/revisions/${revisionId}/measure`)).json()).toMatchObject({ ...measureBody(), ...of })
    expect((await ada.get(`/support-sets/${supportSetId}/measure`)).json()).toMatchObject({
      ...supported,
      supportSetId,
    })
  })

  test('put twice is there once, and of two that come at once one is kept whole', async () => {
    const { revisionId } = await aPrintable(ada)
    const path = `/revisions/${revisionId}/measure`
    const answers = await Promise.all([20, 21, 22, 23].map((widthMm) => ada.put(path, measureBody({ widthMm }))))
    expect(answers.map(({ statusCode }) => statusCode)).toEqual([200, 200, 200, 200])
    const { widthMm, front } = (await ada.get(path)).json()
    expect(front).toEqual(measureBody({ widthMm }).front)
    const rows = await db.selectFrom('measure').select('id').where('revisionId', '=', revisionId).execute()
    expect(rows).toHaveLength(1)
  })

  test('may be typed: a size alone, with nothing to draw it by', async () => {
    const { fileId, revisionId } = await aPrintable(ada)
    const typed = { widthMm: 24, depthMm: 18, heightMm: 36 }
    expect((await ada.put(`/revisions/${revisionId}/measure`, typed)).statusCode).toBe(200)
    expect((await ada.get(`/revisions/${revisionId}/measure`)).json()).toMatchObject({
      ...typed,
      volumeMl: null,
      front: null,
    })
    expect((await ada.get(`/files/${fileId}`)).json().shadow).toBeNull()
  })

  test('goes with whoever took it or a steward, and so does its replacement; what was typed anybody may measure', async () => {
    const { revisionId } = await aPrintable(ada)
    const path = `/revisions/${revisionId}/measure`
    await ada.put(path, { widthMm: 24, depthMm: 18, heightMm: 36 })
    expect((await ben.put(path, measureBody())).statusCode).toBe(200)
    for (const refused of [await ada.put(path, measureBody()), await ada.delete(path)])
      expect(refused.statusCode).toBe(403)
    expect((await odile.put(path, measureBody({ heightMm: 37 }))).statusCode).toBe(200)
    expect((await odile.delete(path)).statusCode).toBe(204)
    expect((await odile.delete(path)).statusCode).toBe(404)
    expect((await ada.get(path)).statusCode).toBe(404)
  })

  test('is for members, of what is there', async () => {
    const { revisionId, supportSetId } = await aPrintable(ada)
    for (const path of [`/revisions/${revisionId}/measure`, `/support-sets/${supportSetId}/measure`]) {
      expect((await outsider(app).get(path)).statusCode).toBe(401)
      expect((await outsider(app).put(path, measureBody())).statusCode).toBe(401)
      expect((await outsider(app).delete(path)).statusCode).toBe(401)
      expect((await ada.get(path)).statusCode).toBe(404)
    }
    for (const path of [`/revisions/${nobody}/measure`, `/support-sets/${nobody}/measure`])
      expect((await ada.put(path, measureBody())).statusCode).toBe(404)
  })
})

describe('what cannot be true', () => {
  let path: string
  beforeAll(async () => {
    path = `/revisions/${(await aPrintable(ada)).revisionId}/measure`
  })
  const midAir = (over: object) => ({ midAir: [{ heightMm: 1, xMm: 1, yMm: 1, areaMm2: 1, ...over }], layerUm: 50 })
  const points = (count: number) => [Array.from({ length: count }, (_, index) => [12 + (index % 7), index / count])]

  test.each<[string, Record<string, unknown>, string]>([
    ['no width', { widthMm: undefined }, '/widthMm'],
    ['a size of nothing', { heightMm: 0 }, '/heightMm'],
    ['a negative size', { depthMm: -3 }, '/depthMm'],
    ['a size that is a text', { depthMm: '18' }, '/depthMm'],
    ['a size as of a house', { widthMm: 5001 }, '/widthMm'],
    ['a volume above its box', { volumeMl: 16 }, '/volumeMl'],
    ['a negative volume', { volumeMl: -1 }, '/volumeMl'],
    ['a layer wider than the figure', { widestLayerMm2: 500 }, '/widestLayerMm2'],
    ['a layer above its top', { widestLayerAtMm: 40 }, '/widestLayerAtMm'],
    ['half a shell', { shells: 1.5 }, '/shells'],
    ['fewer than no edges', { openEdges: -1 }, '/openEdges'],
    ['an outline beside the figure', { front: square(60) }, '/front'],
    [
      'an outline left of it',
      {
        above: [
          [
            [-9, 0],
            [4, 0],
            [4, 4],
          ],
        ],
      },
      '/above',
    ],
    ['an outline that is none', { front: [] }, '/front'],
    [
      'a ring of two points',
      {
        side: [
          [
            [0, 0],
            [1, 1],
          ],
        ],
      },
      '/side/0',
    ],
    ['a point of one number', { side: [[[0], [1, 1], [2, 2]]] }, '/side/0/0'],
    [
      'a point of texts',
      {
        side: [
          [
            ['a', 0],
            [1, 1],
            [2, 2],
          ],
        ],
      },
      '/side/0/0/0',
    ],
    ['more points than anybody draws', { front: points(241) }, '/front'],
    ['a start beside the figure', midAir({ xMm: 50 }), '/midAir/0'],
    ['a start above it', midAir({ heightMm: 50 }), '/midAir/0'],
    ['a start with words', midAir({ part: 'arm' }), '/midAir/0/part'],
    ['starts without their layers', { midAir: [] }, '/layerUm'],
    ['layers without having looked', { layerUm: 50 }, '/layerUm'],
    ['a hash that is none', { sha256s: ['abc'] }, '/sha256s/0'],
    ['a field that there is not', { mesh: 'solid' }, '/mesh'],
  ])('%s is refused at its field', async (_, over, at) => {
    const answer = await ada.put(path, measureBody(over))
    expect(answer.statusCode, answer.body).toBe(422)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(at)
  })

  test('but shells that overlap may count more than their box, and 240 points are fine', async () => {
    const body = measureBody({ overlapping: true, shells: 3, volumeMl: 30, front: points(240) })
    expect((await ada.put(path, body)).statusCode).toBe(200)
  })
})

describe('a file that does not say', () => {
  test('how tall it is and how much resin it takes has both from it, at last as it is supported', async () => {
    const file = await aFile(ada, { resinMl: null, revision: { label: 'first', supportKinds: ['as supplied'] } })
    const [revision] = file.revisions
    const put = async (path: string, over = {}) => (await ben.put(`${path}/measure`, measureBody(over))).json().filled
    const facts = async () => {
      const { heightMm, resinMl } = (await ada.get(`/files/${file.id}`)).json()
      return [heightMm, resinMl]
    }
    const bare = `/revisions/${revision?.id}`
    const set = `/support-sets/${revision?.supportSets[0]?.id}`
    expect(await put(bare, { heightMm: 36.04, overlapping: true })).toEqual(['heightMm'])
    expect(await facts()).toEqual([36, null])
    expect(await put(bare, { heightMm: 36.04, volumeMl: 4.1 })).toEqual(['resinMl'])
    expect(await put(set, { heightMm: 42, volumeMl: 6.288 })).toEqual(['heightMm', 'resinMl'])
    expect(await put(set, { heightMm: 43, volumeMl: 7 })).toEqual([])
    expect(await facts()).toEqual([42, 6.29])
  })

  test('and one that does keeps what it says', async () => {
    const { fileId, revisionId } = await aPrintable(ada, { heightMm: 40 })
    expect((await ada.put(`/revisions/${revisionId}/measure`, measureBody())).json().filled).toEqual([])
    expect((await ada.get(`/files/${fileId}`)).json()).toMatchObject({ heightMm: 40, version: 1 })
  })
})

describe('the shadow', () => {
  test('is that of the newest revision that has one, rather without supports', async () => {
    const { fileId, revisionId, supportSetId } = await aPrintable(ada)
    const later = await aRevision(ada, fileId, { releasedOn: '2025-03-01' })
    await aRevision(ada, fileId, { releasedOn: '2025-04-01' })
    const shadow = async () => (await ada.get(`/files/${fileId}`)).json().shadow
    expect(await shadow()).toBeNull()
    await aMeasure(ada, `/support-sets/${supportSetId}`, { heightMm: 37 })
    expect(await shadow()).toEqual({ front: measureBody({ heightMm: 37 }).front, widthMm: 24, heightMm: 37 })
    await aMeasure(ada, `/revisions/${revisionId}`)
    expect(await shadow()).toMatchObject({ heightMm: 36 })
    const own = await aSupportSet(ada, later.id)
    await aMeasure(ada, `/support-sets/${own.id}`, { heightMm: 38 })
    expect(await shadow()).toMatchObject({ heightMm: 38 })
  })

  test('comes with lists, answers and entries', async () => {
    const unit = await aUnit(ada)
    const { fileId, revisionId } = await aPrintable(ada, { standsInFor: [unit.id] })
    const { id: roster } = await aRoster(ada, { text: `5 x ${unit.name}` })
    const request = await aRequest(ada, { unitId: unit.id })
    await aProposal(ada, request.id, { fileId })
    await aMeasure(ada, `/revisions/${revisionId}`)
    const shadow = { front: measureBody().front, widthMm: 24, heightMm: 36 }
    expect((await ada.get(`/files?unitId=${unit.id}`)).json().items[0].shadow).toEqual(shadow)
    expect((await ada.get(`/units/${unit.id}/answers`)).json().items[0].file.shadow).toEqual(shadow)
    expect((await ada.get(`/requests/${request.id}/answers`)).json().items[0].file.shadow).toEqual(shadow)
    expect((await ada.get(`/rosters/${roster}`)).json().entries[0].shadow).toEqual(shadow)
    expect((await ada.get(`/files/${fileId}`)).json().measures).toHaveLength(1)
  })
})

describe('what was measured goes where its file goes', () => {
  test('of two files that are merged, the later measure of each thing', async () => {
    const [old, kept] = [await aPrintable(ada), await aPrintable(ada)]
    await aMeasure(ada, `/revisions/${kept.revisionId}`, { heightMm: 30 })
    await aMeasure(ada, `/revisions/${old.revisionId}`, { heightMm: 31 })
    await aMeasure(ada, `/support-sets/${old.supportSetId}`, { heightMm: 40 })
    await aMeasure(ada, `/support-sets/${kept.supportSetId}`, { heightMm: 41 })
    const own = await aSupportSet(ada, old.revisionId, { kind: 'own supports' })
    await aMeasure(ada, `/support-sets/${own.id}`, { heightMm: 50 })
    const later = await aRevision(ada, old.fileId)
    await aMeasure(ada, `/revisions/${later.id}`, { heightMm: 32 })
    expect((await odile.post(`/files/${old.fileId}/merge`, { into: kept.fileId })).statusCode).toBe(200)
    const { measures } = (await ada.get(`/files/${kept.fileId}`)).json()
    const found = measures.map((one: { revisionId: string; supportSetId: string | null; heightMm: number }) => [
      one.revisionId,
      one.supportSetId,
      one.heightMm,
    ])
    expect(new Set(found)).toEqual(
      new Set([
        [kept.revisionId, null, 31],
        [kept.revisionId, kept.supportSetId, 41],
        [kept.revisionId, own.id, 50],
        [later.id, null, 32],
      ]),
    )
  })

  test('with a file that is removed; but not by whoever added it once somebody else measured it', async () => {
    const { fileId, revisionId } = await aPrintable(ada)
    await aMeasure(ben, `/revisions/${revisionId}`)
    const remove = { headers: { 'if-match': '*' } }
    expect((await ada.delete(`/files/${fileId}`, remove)).statusCode).toBe(409)
    expect((await odile.delete(`/files/${fileId}`, remove)).statusCode).toBe(204)
    expect((await ada.get(`/revisions/${revisionId}/measure`)).statusCode).toBe(404)
  })
})
