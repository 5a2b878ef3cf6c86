import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { linesIn, mostModels, parseRoster } from '../../../server/features/rosters/paste/parse.ts'
import { decide } from '../../../server/features/rosters/paste/rules.ts'

/** A line as words, number and price. */
const read = (text: string) =>
  parseRoster(text, 'EUR').lines.map(({ words, models, retailPrice: price }) =>
    price ? [words, models, price.amount, price.currency] : [words, models],
  )

describe('a pasted list', () => {
  test.each([
    ['6 x Fen Wardens', 6],
    ['6x Fen Wardens', 6],
    ['6xFen Wardens', 6],
    ['6 × Fen Wardens', 6],
    ['6 Fen Wardens', 6],
    ['- 6 x Fen Wardens', 6],
    ['Fen Wardens, 6', 6],
    ['Fen Wardens; 6', 6],
    ['Fen Wardens: 6 models', 6],
    ['Fen Wardens x6', 6],
    ['Fen Wardens x 6', 6],
    ['Fen Wardens (6)', 6],
    ['6\tFen Wardens', 6],
    ['Fen Wardens\t6', 6],
    ['Fen  Wardens 6', 6],
    ['6 X Fen Wardens', 6],
    ['6✕ Fen Wardens', 6],
    ['Fen Wardens X6', 6],
    ['Fen Wardens ×6', 6],
    ['Fen Wardens (×6)', 6],
    ['Fen Wardens (X 6)', 6],
    ['Fen Wardens (6 models)', 6],
    ['Fen Wardens, X6', 6],
    ['6×\tFen Wardens', 6],
    ['X6\tFen Wardens', 6],
    ['6 x Fen Wardens (6 models)', 6],
    ['×6 Fen Wardens', 6],
    ['6 ✖ Fen Wardens', 6],
    ['• 6x Fen Wardens', 6],
    ['◦ Fen Wardens x6', 6],
    ['3) 6 Fen Wardens', 6],
    ['🐟 6x Fen Wardens 🐟', 6],
    ['Fen Wardens – 6', 6],
    ['Fen Wardens 6 models', 6],
    ['Fen Wardens 6x', 6],
    ['Fen Wardens (6x)', 6],
    ['6 figures Fen Wardens', 6],
    ['Fen Wardens\t6 models', 6],
    ['\t6x\tFen Wardens (6 models)', 6],
    ['6x Fen Wardens [120 pts]', 6],
    ['6 Fen Wardens - 120 points', 6],
    ['Fen Wardens (6) 120pts', 6],
    ['Fen Wardens, 6, 120 pts.', 6],
    ['Fen Wardens (6 models, 120 points)', 6],
    ['Fen Wardens (120 pts, 6 models)', 6],
    ['6x Fen Wardens\t120 pts', 6],
    ['3 x Fen Wardens (2 models each)', 6],
    ['6 x Fen Wardens (120)', 6],
    ['6x\tFen Wardens (120)', 6],
    ['Fen Wardens x6 (6)', 6],
    ['1 Fen Wardens (60)', 1],
    ['6 x Fen Wardens @ 120 pts', 6],
    ['6 x Fen Wardens - 240pts €76.00', 6],
    ['3 x Fen Wardens (2 models each) - 240pts, 76 EUR', 6],
    ['6 x Fen Wardens ($35) [120 pts]', 6],
    ['Fen Wardens x6 – US$ 35.50', 6],
    ['Fen Wardens (120 points)', null],
    ['  Fen   Wardens  ', null],
  ])('%j', (line, models) => expect(read(line)).toEqual([['Fen Wardens', models]]))

  test.each([
    ['2x Eel Spears (10 models)', 10, 20],
    ['2 X Eel Spears (x10)', 10, 20],
    ['Eel Spears (10 models) ×2', 10, 20],
    ['1 x Eel Spears (10 models)', 10, undefined],
    ['Eel Spears x 2 (10 models)', 10, 20],
    ['2x\tEel Spears (10 models)', 10, 20],
    ['• 2× Eel Spears (10 models) [120 pts]', 10, 20],
    ['unit,models\nEel Spears (10 models),2', 10, 20],
  ])('%j says two numbers', (line, models, each) => {
    const [read] = parseRoster(line, 'EUR').lines
    expect(read).toMatchObject({ words: 'Eel Spears', models })
    expect(read?.each).toBe(each)
  })

  test('numbers that belong to a name stay with it', () => {
    expect(read('3 x Tide Clerks 2nd watch')).toEqual([['Tide Clerks 2nd watch', 3]])
    expect(read('2 x 7 Eels')).toEqual([['7 Eels', 2]])
    expect(read('Oss 4 (6 models)')).toEqual([['Oss 4', 6]])
    expect(read('Oss [120]')).toEqual([['Oss [120]', null]])
    expect(parseRoster('x4 Oss', 'EUR').lines).toMatchObject([{ words: 'Oss', models: 4, whole: 'x4 Oss' }])
    expect(parseRoster('Oss  4', 'EUR').lines).toEqual([
      { line: 1, words: 'Oss', models: 4, whole: 'Oss 4', retailPrice: null },
    ])
  })

  test('a table with a heading, in any order of columns', () => {
    const table = 'unit,models,retail price,currency\nFen Wardens,10,38.00,GBP\n"Glaze, Pikes",20,"52,5",\n'
    expect(read(table)).toEqual([
      ['Fen Wardens', 10, '38.00', 'GBP'],
      ['Glaze, Pikes', 20, '52.5', 'EUR'],
    ])
    expect(read('Models;Unit\n4;Heliograph Crew')).toEqual([['Heliograph Crew', 4]])
    expect(read('Unit\tModels\tPrice\nTide Clerks\t3\t25')).toEqual([['Tide Clerks', 3, '25', 'EUR']])
    // A quote written twice within quotes is one (RFC 4180, section 2.7).
    expect(read('unit,models\n"The ""Reed"" Watch",5')).toEqual([['The "Reed" Watch', 5]])
  })

  test('a row whose quotation marks cannot be read leaves the others alone', () => {
    const { lines, problems } = parseRoster(
      'unit,models\nTide Clerks,3\n"Fen Wardens,6\n"Glaze, Pikes",20\nSlag 6" Ox,1',
      'EUR',
    )
    expect(lines.map(({ line, words, models }) => [line, words, models])).toEqual([
      [2, 'Tide Clerks', 3],
      [4, 'Glaze, Pikes', 20],
      [5, 'Slag 6" Ox', 1],
    ])
    expect(problems.map(({ line }) => line)).toEqual([3])
  })

  test('headings and totals are passed over, whatever they are worth', () => {
    const text =
      '== Leaders [95 pts] ==\n6 x Fen Wardens\nBeasts:\nBeasts (90 pts):\n## Others ##\nOss: 4\nTotal: 1250 pts\nTotal points: 1250\nPoints = 1250\n£38'
    expect(read(text)).toEqual([
      ['Fen Wardens', 6],
      ['Oss', 4],
    ])
    expect(read('Total Eclipse Riders, 3')).toEqual([['Total Eclipse Riders', 3]])
  })

  test('a price counts in a column, and is not taken in silence from one where it cannot be read', () => {
    expect(read('6 x Fen Wardens\t38.00')).toEqual([['Fen Wardens', 6, '38.00', 'EUR']])
    expect(parseRoster('6 \tFen Wardens\t€38.00', 'EUR').problems).toMatchObject([{ line: 1 }])
  })

  test('empty lines, rules, points alone and remarks are passed over, but counted', () => {
    const { lines } = parseRoster('# the north bank\r\n----\r\n6 x Fen Wardens\r\n1000 points\nTide Clerks', 'EUR')
    expect(lines.map(({ line, words }) => [line, words])).toEqual([
      [3, 'Fen Wardens'],
      [5, 'Tide Clerks'],
    ])
  })

  test.each([
    ['0 x Fen Wardens', '0 models'],
    ['10000 x Fen Wardens', 'At most 1000 models'],
    ['Fen Wardens, 10000', 'At most 1000 models'],
    ['unit,models\nFen Wardens,six', 'not a whole number'],
    ['unit,models\nFen Wardens,2.5', 'not a whole number'],
    ['unit,models,price,currency\nFen Wardens,6,38.005,EUR', 'Too many digits'],
    ['unit,models,price,currency\nFen Wardens,6,38,SHELLS', 'not a currency'],
    ['unit,models,price\nFen Wardens,6,-3', 'not negative'],
    ['unit,models\n,6', 'names no unit'],
    ['unit,models\n"Fen Wardens,6', 'quotation marks'],
    ['unit,models\n"Fen" Wardens,6', 'quotation marks'],
    [`6 x ${'a'.repeat(121)}`, 'At most 120 characters'],
    ['a'.repeat(401), 'longer than 400'],
    ['6 x Fen\u0000Wardens', 'can’t be stored'],
  ])('says what is wrong with %j', (text, message) => {
    const { lines, problems } = parseRoster(text, 'EUR')
    expect(lines).toEqual([])
    expect(problems).toMatchObject([{ message: expect.stringContaining(message) }])
  })

  test('never throws, keeps every line or says why not, and what it keeps can be kept', () => {
    const messy = fc.array(
      fc.oneof(
        fc.string({ unit: 'binary' }),
        fc.stringMatching(/^[\d x,;\t"()a-z×.-]{0,60}$/),
        fc.constant('unit,models,price'),
      ),
    )
    fc.assert(
      fc.property(messy, fc.constantFrom('\n', '\r\n', '\r'), (parts, end) => {
        const text = parts.join(end)
        const { lines, problems } = parseRoster(text, 'EUR')
        const all = linesIn(text)
        // A heading is none, nor is what holds nothing but delimiters under one.
        const empty = all.filter((line) => /^[\s,;"]*$/.test(line.text)).length
        expect(lines.length + problems.length).toBeLessThanOrEqual(all.length)
        expect(lines.length + problems.length).toBeGreaterThanOrEqual(all.length - 1 - empty)
        for (const { words, models, retailPrice } of lines) {
          expect(words.length).toBeLessThanOrEqual(120)
          expect(words).toMatch(/\S/)
          expect(words).not.toMatch(/\p{Cc}/u)
          expect(models === null || (Number.isInteger(models) && models >= 1 && models <= mostModels)).toBe(true)
          expect(retailPrice === null || retailPrice.currency.length === 3).toBe(true)
        }
      }),
      { numRuns: 500 },
    )
  })

  test('as a spreadsheet saves it: a mark before the first sign, quotes, columns in any order, rows of nothing', () => {
    const text =
      '\ufeffcurrency;models;"unit";retail price\r\nUSD;"6";"Fen ""Wet"" Wardens";39,50\r\n;;;\r\n;3;"Peat; Giant";\r\n'
    expect(parseRoster(text, 'EUR')).toEqual({
      lines: [
        { line: 2, words: 'Fen "Wet" Wardens', models: 6, retailPrice: { amount: '39.50', currency: 'USD' } },
        { line: 4, words: 'Peat; Giant', models: 3, retailPrice: null },
      ],
      problems: [],
    })
    expect(parseRoster('price,unit\n12.50,Fen Wardens', 'EUR').lines).toEqual([
      { line: 2, words: 'Fen Wardens', models: null, retailPrice: { amount: '12.50', currency: 'EUR' } },
    ])
  })

  test('other scripts are names like any', () => {
    const text = '6 x Болотные стражи\n沼の番人, 3\nΦύλακες ✕ 2\n10 models of حراس'
    expect(parseRoster(text, 'EUR').lines.map(({ words, models }) => [words, models])).toEqual([
      ['Болотные стражи', 6],
      ['沼の番人', 3],
      ['Φύλακες', 2],
      ['حراس', 10],
    ])
  })

  test('a part of a model, or fewer than none, is no number of models', () => {
    expect(parseRoster('2.5 x Fen Wardens\n-3 x Fen Wardens', 'EUR').problems).toEqual([
      { line: 1, message: '“2.5” is not a whole number of models.' },
      { line: 2, message: '“-3” is not a whole number of models.' },
    ])
  })
})

describe('which unit is meant', () => {
  const near = (id: string, likeness: number, exact = false, within = likeness) => ({
    id,
    name: id,
    setting: '',
    scaleMm: 28,
    modelsPerUnit: 1,
    exact,
    likeness,
    within,
  })
  const meant = (...all: ReturnType<typeof near>[]) => {
    const found = decide(all)
    return 'unit' in found ? found.unit.id : found.nearest.map(({ id }) => id)
  }

  test('a name or alias settles it, unless two units have it', () => {
    expect(meant(near('a', 1, true), near('b', 0.9))).toBe('a')
    expect(meant(near('a', 1, true), near('b', 1, true))).toEqual(['a', 'b'])
  })

  test('a typing error is read as the one unit that is near', () => {
    expect(meant(near('a', 0.64), near('b', 0.2))).toBe('a')
    expect(meant(near('a', 0.64), near('b', 0.6))).toEqual(['a', 'b'])
    expect(meant(near('a', 0.4))).toEqual(['a'])
    expect(meant(near('a', 0.1))).toEqual([])
    expect(meant()).toEqual([])
  })

  test('a word that is whole in the names of two units could be either', () => {
    expect(meant(near('ox riders', 0.7, false, 1), near('heron riders', 0.54, false, 1))).toEqual([
      'ox riders',
      'heron riders',
    ])
    expect(meant(near('ox riders', 0.7, false, 1), near('oxen', 0.3, false, 0.4))).toBe('ox riders')
  })
})
