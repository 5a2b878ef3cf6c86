import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { readLabels, readPlates } from '../../server/commands/read-files.ts'
import { fitGroup } from '../../server/scoring/fit.ts'
import { seenLabels } from '../../server/scoring/labels.ts'

const folder = mkdtempSync(join(tmpdir(), 'understudy-read-'))
afterAll(() => rmSync(folder, { recursive: true }))

let files = 0
function fileOf(content: string | Uint8Array): string {
  const path = join(folder, String(files++))
  writeFileSync(path, content)
  return path
}

const header = 'supportSet,sculptor,printer,period,crowding,good,supports snapped,soft detail'
const readAll = (content: string | Uint8Array) => readPlates(fileOf(content), seenLabels)
const read = (content: string | Uint8Array) => readAll(content).plates

test('byte order mark, any line end, quoted cells, empty lines at the end and none are fine', () => {
  const plain = read(`${header}\n"ho""und, old",Vesna,attic,1,loose,5,1,0\nwitch,Vesna,attic,2,packed,0,0,2\n`)
  expect(plain).toMatchObject([
    { period: 'attic/1', crowding: 'half empty', prints: [{ line: 'ho"und, old', sculptor: 'Vesna', good: 5 }] },
    { period: 'attic/2', prints: [{ line: 'witch', failures: [{ seen: 'soft detail', copies: 2 }] }] },
  ])
  const quoted = `\uFEFF${header.replace('soft detail', '"soft detail"')}\r\n`
  const body = '"ho""und, old","Vesna",attic,1,loose,"5",1,0\r\nwitch,Vesna,attic,2,packed,0,0,2'
  expect(read(quoted + body)).toEqual(plain)
  expect(read(`${quoted}${body}\r\n\r\n`)).toEqual(plain)
  expect(read(`${quoted}${body}`.replaceAll('\r\n', '\r'))).toEqual(plain)
})

test('labels may come in any order, and some be left out', () => {
  const [plate] = read('supportSet,sculptor,printer,period,crowding,good,soft detail\nhound,Vesna,attic,1,loose,5,2')
  expect(plate?.prints[0]?.failures).toEqual([{ seen: 'soft detail', copies: 2 }])
})

describe('two more columns, anywhere before what was seen', () => {
  const columns = 'plate,supportSet,sculptor,printer,day,period,crowding,good,soft detail'
  const rows = [
    'a,hound,Vesna,attic,7,1,packed,5,0',
    'a,witch,Vesna,attic,7,1,packed,1,2',
    ',witch,Vesna,attic,3,1,about full,4,0',
  ]
  const { plates, places } = readAll([columns, ...rows].join('\n'))

  test('rows with the same plate were on one; rows without one are plates; days are read', () => {
    expect(plates.map(({ day, prints }) => [day, prints.map(({ line }) => line)])).toEqual([
      [7, ['hound', 'witch']],
      [3, ['witch']],
    ])
    const lines = places.map(({ plate, print }) => plates.find(({ id }) => id === plate)?.prints[print]?.line)
    expect(lines).toEqual(['hound', 'witch', 'witch'])
  })

  test('with days, the order of the rows does not matter', () => {
    const turned = readAll([columns, ...rows.toReversed()].join('\n')).plates
    const plain = (all: typeof plates) =>
      all.map(({ id: _, ...plate }) => plate).toSorted((one, other) => one.day - other.day)
    expect(plain(turned)).toEqual(plain(plates))
  })

  test('plates of one day stand by their numbers, 9 before 10', () => {
    const ofOneDay = ['10', '9'].map((plate) => `${plate},hound,Vesna,attic,7,1,packed,${plate},0`)
    const { layout } = fitGroup(read([columns, ...ofOneDay].join('\n')), { sweeps: 4, kept: 8 })
    expect([...layout.tried]).toEqual([9, 10])
  })

  test('a label may be called as a column is', () => {
    const rows = readPlates(
      fileOf('supportSet,sculptor,printer,period,crowding,good,plate\nhound,Vesna,attic,1,packed,5,2'),
      {
        plate: [0, 0, 1],
        file: [1, 1, 1],
      },
    )
    expect(rows.plates[0]?.prints[0]?.failures).toEqual([{ seen: 'plate', copies: 2 }])
  })

  test('the same name on another printer is another plate', () => {
    const other = readAll(`${columns}\na,hound,Vesna,attic,7,1,packed,5,0\na,hound,Vesna,shed,7,1,packed,5,0`)
    expect(other.plates).toHaveLength(2)
  })

  test.each([
    ['a day that is none', 'a,hound,Vesna,attic,soon,1,packed,5,0', 'row 2, column "day": "soon" is not a number'],
    [
      'a plate that is packed and not',
      `${rows[0]}\n${rows[1]?.replace('packed', 'half empty')}`,
      'column "crowding": the plate',
    ],
  ])('%s', (_, body, expected) => {
    expect(() => read(`${columns}\n${body}`)).toThrow(expected)
  })
})

describe('malformed reports are refused, naming row and column', () => {
  const row = 'hound,Vesna,attic,1,loose,5,1,0'
  test.each([
    ['missing cell', `${header}\n${row}\nhound,Vesna,attic,1,loose,5,1`, 'row 3, column "soft detail": missing'],
    ['extra cell', `${header}\n${row},7`, 'row 2, column 9: more cells'],
    ['missing column', header.replace('period,', ''), 'row 1, column 4: expected "period"'],
    ['unknown label', `${header},melted\n${row},0`, 'row 1, column "melted": unknown label'],
    ['label of the prototype', `${header},constructor\n${row},0`, 'row 1, column "constructor": unknown label'],
    [
      'the same label twice',
      `${header},soft detail\n${row},0`,
      'row 1, column "soft detail": the column is there twice',
    ],
    ['unknown crowding', `${header}\n${row.replace('loose', 'stacked')}`, 'row 2, column "crowding": "stacked"'],
    ['negative count', `${header}\n${row}\n${row.replace('5', '-5')}`, 'row 3, column "good": "-5"'],
    ['fraction', `${header}\n${row.replace('5,1', '5,1.5')}`, 'row 2, column "supports snapped": "1.5"'],
    ['no number', `${header}\n${row.replace(',5,', ',,')}`, 'row 2, column "good": ""'],
    ['hexadecimal', `${header}\n${row.replace(',5,', ',0x5,')}`, 'row 2, column "good": "0x5"'],
    ['empty name', `${header}\n${row.replace('attic', ' ')}`, 'row 2, column "printer": empty'],
    [
      'open quote',
      `${header}\n${row}\nhound,"Vesna,attic,1,loose,5,1,0\n`,
      'row 3, column 2: a quote that is never closed',
    ],
    ['quote inside', `${header}\nho"und,Vesna`, 'row 2, column 1: a quote inside'],
    ['text after a quote', `${header}\n"hound"s,Vesna`, 'row 2, column 1: text after the closing quote'],
    [
      'two sculptors of a set',
      `${header}\n${row}\n${row.replace('Vesna', 'Oto')}`,
      'row 3, column "sculptor": support set',
    ],
    ['empty line inside', `${header}\n\n${row}`, 'row 2, column "sculptor": missing'],
    ['header alone', `${header}\n`, 'row 2, column "supportSet": there are no reports'],
    ['nothing', '', 'row 1, column 1: expected "supportSet"'],
    ['too many copies', `${header}\n${row.replace(',5,', ',1000001,')}`, 'row 2, column "good": "1000001"'],
  ])('%s', (_, content, expected) => {
    expect(() => read(content)).toThrow(expected)
  })

  test('no UTF-8', () => {
    expect(() => read(Uint8Array.of(0x61, 0xff, 0x62))).toThrow('not UTF-8')
  })
})

describe('malformed labels are refused', () => {
  test.each([
    ['broken', '{', 'is not JSON'],
    ['two numbers', '{"a":[1,2]}', 'three numbers a label'],
    ['no numbers', '{"a":[1,2,"3"]}', 'three numbers a label'],
    ['all nought', '{"a":[0,0,0]}', 'label "a"'],
    ['a negative one', '{"a":[0,1,-1]}', 'label "a"'],
    ['text', '"a"', 'three numbers a label'],
    ['a list', '[[1,1,1]]', 'three numbers a label'],
  ])('%s', (_, content, expected) => {
    expect(() => readLabels(fileOf(content))).toThrow(expected)
  })
})
