import fc from 'fast-check'
import { expect, test } from 'vitest'
import { looksMinor, type Rankable, rank } from '../../server/scoring/rank.ts'

function answer(id: string, changes: Partial<Rankable> = {}): Rankable {
  return {
    id,
    title: id,
    obtainable: true,
    blocked: false,
    missing: 0,
    costToTableMinor: 1000,
    looksMinor: 0,
    ...changes,
  }
}

const order = (answers: Rankable[]) => rank(answers).map(({ id }) => id)

test('looks count like money: the worked example of the API', () => {
  expect(looksMinor(10, 100, 0.8)).toBe(200)
  const [first] = rank([answer('a', { costToTableMinor: 1485, looksMinor: 200 })])
  expect(first).toMatchObject({ rank: 1, scoreMinor: 1685 })
})

test('lowest score first', () => {
  const dear = answer('dear', { costToTableMinor: 1500 })
  const ugly = answer('ugly', { looksMinor: 600 })
  expect(order([ugly, dear, answer('good')])).toEqual(['good', 'dear', 'ugly'])
})

test('what lacks a must-have comes after all that cover everything; what cannot be had has no score', () => {
  const lacking = answer('lacking', { missing: 1, costToTableMinor: 1 })
  const gone = answer('gone', { obtainable: false, costToTableMinor: 0 })
  const ranked = rank([gone, lacking, answer('dear', { costToTableMinor: 9000 })])
  expect(ranked.map(({ id, scoreMinor }) => [id, scoreMinor])).toEqual([
    ['dear', 9000],
    ['lacking', 1],
    ['gone', null],
  ])
})

test('what cannot be had comes after what can, what is blocked after both, whatever the score', () => {
  const gone = answer('gone', { obtainable: false, costToTableMinor: 1 })
  const blocked = answer('blocked', { blocked: true, costToTableMinor: 1 })
  const both = answer('both', { obtainable: false, blocked: true, costToTableMinor: 0 })
  expect(order([both, blocked, gone, answer('dear', { costToTableMinor: 9000 })])).toEqual([
    'dear',
    'gone',
    'both',
    'blocked',
  ])
})

test('equal scores go by title, then by id, however they come in', () => {
  const same = [
    answer('2', { title: 'Bog warden' }),
    answer('1', { title: 'Bog warden' }),
    answer('0', { title: 'Ash' }),
  ]
  expect(order(same)).toEqual(['0', '1', '2'])
  expect(order(same.toReversed())).toEqual(['0', '1', '2'])
})

test('the order does not depend on the order of asking', () => {
  const answers = fc.uniqueArray(
    fc.record({
      id: fc.uuid(),
      title: fc.constantFrom('A', 'B', 'b'),
      obtainable: fc.boolean(),
      blocked: fc.boolean(),
      missing: fc.integer({ min: 0, max: 1 }),
      costToTableMinor: fc.integer({ min: 0, max: 3 }),
      looksMinor: fc.integer({ min: 0, max: 3 }),
    }),
    { selector: ({ id }) => id },
  )
  fc.assert(
    fc.property(
      answers.chain((all) => fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length }))),
      ([all, shuffled]) => {
        expect(order(shuffled)).toEqual(order(all))
      },
    ),
  )
})
