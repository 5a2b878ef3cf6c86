import { beforeAll, describe, expect, test } from 'vitest'
import type { Instance, Options } from '../../server/planning/instance.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import { greedyPlan } from '../../server/planning/search.ts'
import { openSolver, type Solver } from '../../server/planning/solver.ts'
import { membershipRungs } from './memberships.ts'
import { inGoodTime } from './rosters.ts'
import { rosterOf, wardensAndHounds } from './small.ts'

let solver: Solver
beforeAll(async () => {
  solver = await openSolver()
})

const plan = (instance: Instance) => planRoster(instance, { solver, until: inGoodTime() })
const withOptions = (instance: Instance, options: Partial<Options>) => {
  return { ...instance, options: { ...instance.options, ...options } }
}

test('what to buy, what to print, and how it adds up', () => {
  const result = plan(wardensAndHounds)
  // Alone: 900 + 500 + 100 of looks and 800 + 200 + 100 make 2600; the bundle 1000 + 450 + 400 + 300 + 150 = 2300.
  expect(result).toMatchObject({
    proven: true,
    coverProven: true,
    ended: 'proven',
    objectiveMinor: 2300,
    boundMinor: 2300,
    gap: 0,
  })
  expect(result.plan).toEqual({
    offers: [{ offerId: 'marsh bundle', kind: 'bundle', priceMinor: 1000, opens: ['wardens', 'hounds'] }],
    entries: [
      {
        entryId: 'wardens',
        fileId: 'Reed Watch',
        supportSetId: null,
        offerId: 'marsh bundle',
        models: 10,
        printMinor: 450,
        looksMinor: 400,
        share: 0.6,
      },
      {
        entryId: 'hounds',
        fileId: 'Marsh Dogs',
        supportSetId: null,
        offerId: 'marsh bundle',
        models: 5,
        printMinor: 300,
        looksMinor: 150,
        share: 0.7,
      },
    ],
    uncovered: [],
    styleTag: null,
    totals: {
      offersMinor: 1000,
      printMinor: 750,
      looksMinor: 550,
      bonusMinor: 0,
      retailMinor: 7200,
      withoutRetail: [],
      savingMinor: 5450,
      saving: 5450 / 7200,
    },
  })
})

test('what is in the archive costs nothing, and is listed where it is used', () => {
  const owned = { id: 'archive', kind: 'owned' as const, priceMinor: 0, fileIds: ['Fen Wardens'] }
  const result = plan({ ...wardensAndHounds, offers: [...wardensAndHounds.offers, owned] })
  expect(result.plan.offers).toEqual([
    { offerId: 'Ash Hounds alone', kind: 'purchase', priceMinor: 800, opens: ['hounds'] },
    { offerId: 'archive', kind: 'owned', priceMinor: 0, opens: ['wardens'] },
  ])
  expect(result.plan.entries[0]).toMatchObject({
    fileId: 'Fen Wardens',
    supportSetId: 'as supplied',
    offerId: 'archive',
  })
})

test('of a file that two offers open, none is bought twice', () => {
  const twice = { id: 'again', kind: 'purchase' as const, priceMinor: 1, fileIds: ['Reed Watch', 'Marsh Dogs'] }
  expect(plan({ ...wardensAndHounds, offers: [...wardensAndHounds.offers, twice] }).plan.offers).toEqual([
    { offerId: 'again', kind: 'purchase', priceMinor: 1, opens: ['wardens', 'hounds'] },
  ])
})

describe('an entry that gets nothing is reported with the first reason, and the rest is planned', () => {
  const pinned = (pinnedFileId: string): Instance => ({
    ...wardensAndHounds,
    entries: wardensAndHounds.entries.map((entry) => (entry.id === 'wardens' ? { ...entry, pinnedFileId } : entry)),
  })
  const lordsOnly = {
    ...wardensAndHounds,
    entries: [...wardensAndHounds.entries, { id: 'lords', models: 1, retailMinor: null }],
  }
  const blocked = {
    ...wardensAndHounds,
    candidates: wardensAndHounds.candidates.map((one) => (one.entryId === 'wardens' ? { ...one, blocked: true } : one)),
  }
  const tooLarge = {
    ...wardensAndHounds,
    candidates: wardensAndHounds.candidates.map((one) => (one.entryId === 'wardens' ? { ...one, fits: false } : one)),
  }
  test.each<[string, Instance]>([
    ['no candidate', lordsOnly],
    ['pinned file is no candidate', pinned('Ash Hounds')],
    [
      'sculptor excluded',
      withOptions(
        { ...pinned('Reed Watch'), files: wardensAndHounds.files.map((file) => ({ ...file, sculptorId: file.id })) },
        { exclude: { sculptorIds: ['Reed Watch'] } },
      ),
    ],
    ['file excluded', withOptions(wardensAndHounds, { exclude: { fileIds: ['Reed Watch', 'Fen Wardens'] } })],
    ['fits no printer', tooLarge],
    ['open snag stops the print', withOptions(blocked, { avoidBlocked: true })],
    [
      'share too small',
      {
        ...wardensAndHounds,
        entries: wardensAndHounds.entries.map((entry) =>
          entry.id === 'wardens' ? { ...entry, minShare: 0.95 } : entry,
        ),
      },
    ],
    [
      'pair refused',
      withOptions(pinned('Reed Watch'), { exclude: { pairs: [{ entryId: 'wardens', fileId: 'Reed Watch' }] } }),
    ],
    [
      'no usable offer',
      withOptions(wardensAndHounds, { exclude: { offerIds: ['marsh bundle', 'Fen Wardens alone'] } }),
    ],
  ])('%s', (reason, instance) => {
    const result = plan(instance)
    const [entryId, others] = reason === 'no candidate' ? ['lords', 2] : ['wardens', 1]
    expect(result.plan.uncovered).toEqual([{ entryId, reason }])
    expect(result.plan.entries).toHaveLength(others)
    expect(result.proven).toBe(true)
  })

  test('over budget: as many as can be are covered, and the saving is over those alone', () => {
    const result = plan(withOptions(wardensAndHounds, { budgetMinor: 850 }))
    expect(result.plan.uncovered).toEqual([{ entryId: 'wardens', reason: 'over budget' }])
    expect(result.plan.totals).toMatchObject({ offersMinor: 800, retailMinor: 3000, savingMinor: 3000 - 800 - 200 })
    expect(result).toMatchObject({ proven: true, objectiveMinor: 800 + 200 + 100 })
  })

  test('a blocked file is taken where nobody minds', () => {
    expect(plan(blocked).plan.uncovered).toEqual([])
  })
})

test('without the price of a box there is no saving to speak of', () => {
  const entries = wardensAndHounds.entries.map((entry) => {
    return entry.id === 'wardens' ? { ...entry, retailMinor: null } : entry
  })
  const { totals } = plan({ ...wardensAndHounds, entries }).plan
  expect(totals).toMatchObject({ retailMinor: 3000, withoutRetail: ['wardens'], savingMinor: null, saving: null })
})

test('a membership for as many months as it takes', () => {
  const rungs = membershipRungs({
    id: 'club',
    priceAMonthMinor: 350,
    files: [
      { fileId: 'Fen Wardens', months: 3 },
      { fileId: 'Reed Watch', months: 1 },
      { fileId: 'Ash Hounds', months: 1 },
    ],
  })
  const instance = { ...wardensAndHounds, offers: [...wardensAndHounds.offers, ...rungs] }
  expect(plan(instance).plan.offers).toMatchObject([{ offerId: 'club/1', opens: ['wardens', 'hounds'] }])
  expect(plan(withOptions(instance, { allowMemberships: false })).plan.offers).toMatchObject([
    { offerId: 'marsh bundle' },
  ])
  expect(plan(withOptions(instance, { exclude: { offerIds: ['club'] } })).plan.offers).toMatchObject([
    { offerId: 'marsh bundle' },
  ])
})

test('a theme at most, with what each would come to', () => {
  const instance = rosterOf({
    entries: [{ id: 'a' }, { id: 'b' }],
    candidates: [
      ['a', 'bone a', 150],
      ['a', 'moss a', 100],
      ['b', 'bone b', 150],
      ['b', 'brass b', 100],
    ],
    offers: [{ id: 'all', priceMinor: 500, fileIds: ['bone a', 'moss a', 'bone b', 'brass b'] }],
    styleTags: { 'bone a': ['bone'], 'moss a': ['moss'], 'bone b': ['bone'], 'brass b': ['brass'] },
    options: { looksWorthMinor: 0, theme: { bonusMinor: 250 } },
  })
  const result = plan(instance)
  expect(result.plan.styleTag).toBe('bone')
  expect(result.plan.totals).toMatchObject({ printMinor: 300, bonusMinor: 500 })
  expect(result.objectiveMinor).toBe(500 + 300 - 500)
  expect(result.themes).toMatchObject([
    { styleTag: null, printMinor: 200, objectiveMinor: 700, proven: true },
    { styleTag: 'bone', printMinor: 300, objectiveMinor: 300, proven: true },
    { styleTag: 'brass', printMinor: 200, objectiveMinor: 450, proven: true },
    { styleTag: 'moss', printMinor: 200, objectiveMinor: 450, proven: true },
  ])
})

test('an entry is split over two files where the variety is worth it, in whole models', () => {
  const split = { minPart: 0.25, bonusMinor: 100 }
  const instance = rosterOf({
    entries: [{ id: 'a', models: 10, split }],
    candidates: [
      ['a', 'cheap', 100],
      ['a', 'dear', 300],
    ],
    offers: [{ id: 'both', priceMinor: 500, fileIds: ['cheap', 'dear'] }],
  })
  const result = plan(instance)
  expect(result.plan.entries).toMatchObject([
    { fileId: 'cheap', models: 7, printMinor: 70 },
    { fileId: 'dear', models: 3, printMinor: 90 },
  ])
  expect(result.objectiveMinor).toBeCloseTo(500 + 70 + 90 - 100, 6)
  expect(result.plan.totals.bonusMinor).toBe(100)
  const [entry] = instance.entries
  const single = { ...instance, entries: [{ ...(entry ?? { id: 'a', retailMinor: null }), models: 1 }] }
  expect(plan(single).plan.entries).toHaveLength(1)
})

describe('nothing to solve', () => {
  test('an empty roster', () => {
    const result = plan({ ...wardensAndHounds, entries: [], candidates: [] })
    expect(result).toMatchObject({ proven: true, objectiveMinor: 0, boundMinor: 0, gap: 0 })
    expect(result.plan.totals.saving).toBeNull()
  })

  test('nothing has to be bought: no whole-number column', () => {
    const free = wardensAndHounds.offers.map((offer) => ({ ...offer, priceMinor: 0 }))
    expect(plan({ ...wardensAndHounds, offers: free })).toMatchObject({
      proven: true,
      objectiveMinor: 500 + 100 + 200 + 100,
    })
  })

  test('no entry has any file', () => {
    const result = plan({ ...wardensAndHounds, offers: [] })
    expect(result).toMatchObject({ proven: true, objectiveMinor: 0 })
    expect(result.plan.uncovered.map(({ reason }) => reason)).toEqual(['no usable offer', 'no usable offer'])
  })

  test('a budget of nothing', () => {
    const result = plan(withOptions(wardensAndHounds, { budgetMinor: 0 }))
    expect(result.plan.uncovered.map(({ reason }) => reason)).toEqual(['over budget', 'over budget'])
    expect(result).toMatchObject({ proven: true, objectiveMinor: 0, boundMinor: 0 })
  })
})

test('a penalty would hide it: the cheapest plan of those that cover most, to the cent', () => {
  // One entry that nobody can afford, and two that differ by one cent of 10,000,000.
  const result = plan(
    rosterOf({
      entries: [{ id: 'a' }, { id: 'b' }],
      candidates: [
        ['a', 'one', 10_000_000],
        ['a', 'other', 9_999_999],
        ['b', 'dear', 1],
      ],
      offers: [
        { id: 'one', priceMinor: 100, fileIds: ['one'] },
        { id: 'other', priceMinor: 100, fileIds: ['other'] },
        { id: 'dear', priceMinor: 1000, fileIds: ['dear'] },
      ],
      options: { budgetMinor: 500 },
    }),
  )
  expect(result).toMatchObject({ proven: true, objectiveMinor: 10_000_099 })
  expect(result.plan.uncovered).toEqual([{ entryId: 'b', reason: 'over budget' }])
})

test('the first plan takes no search', () => {
  const result = greedyPlan(wardensAndHounds)
  expect(result).toMatchObject({ proven: false, boundMinor: null, gap: null, ended: 'time limit' })
  expect(result.plan.uncovered).toEqual([])
})
