import { describe, expect, test } from 'vitest'
import { discreet } from '../../server/features/catalogue/files/rules.ts'
import { newMeasure } from '../../server/features/catalogue/measures/schema.ts'
import { withoutName } from '../../server/features/catalogue/sculptors/without-name.ts'
import { newUnit } from '../../server/features/catalogue/units/schema.ts'
import { newMember } from '../../server/features/people/members/schema.ts'
import { nextPath } from '../../server/features/people/sessions/rules.ts'
import { credentials } from '../../server/features/people/sessions/schema.ts'
import { plateForm, printsIn } from '../../server/features/printing/reports/schema.ts'
import { freeLine } from '../../server/features/rosters/paste/free-line.ts'
import { parseRoster } from '../../server/features/rosters/paste/parse.ts'
import { newRoster } from '../../server/features/rosters/schema.ts'
import { readableAddress, withoutCodes } from '../../server/http/address.ts'
import { placeOf } from '../../server/http/attempts.ts'
import { parseForm, parseJson } from '../../server/http/body.ts'
import { lines, link, money, remark, wordsOf } from '../../server/http/fields.ts'
import { readForm } from '../../server/http/page.tsx'
import { readCursor } from '../../server/http/paging.ts'
import { fieldErrors } from '../../server/http/problem.ts'
import { growthOf, mostOverLinear } from '../support/growth.ts'

/** A text of a length, of one piece again and again. */
const of = (piece: string, length: number) => piece.repeat(Math.max(1, Math.floor(length / piece.length)))
const listed = (count: number, one: (index: number) => string) => Array.from({ length: count }, (_, i) => one(i)).join()
const unlessRefused = (work: () => unknown) => () => {
  try {
    return work()
  } catch (error) {
    return error
  }
}

/** Work on something of a size, by what it is; sizes at the start are such that twenty times as much is still let in. */
type Cases = [what: string, size: number, work: (size: number) => () => unknown][]

async function expectLinear(size: number, work: (size: number) => () => unknown): Promise<void> {
  const over = await growthOf(work, size)
  expect(over < mostOverLinear || over).toBe(true)
}

/** A parser on texts of a length that are hard on one kind or another of pattern. */
function hard(parser: string, size: number, parse: (text: string) => unknown, pieces: string[], around = ['', '']) {
  return pieces.map((piece): Cases[number] => [
    `${parser}: ${JSON.stringify(piece)} again and again`,
    size,
    (length) => {
      const text = `${around[0]}${of(piece, length)}${around[1]}`
      return unlessRefused(() => parse(text))
    },
  ])
}

const texts = ['a', ' ', 'a ', '. ', 'a.', '\u0301', '\u200b', '\r', '-', '"']

const bodies: Cases = [
  ...hard('JSON', 10_000, parseJson, ['a', '\\u0041', '\\"'], ['"', '"']),
  ...hard('JSON that never ends', 10_000, parseJson, ['[', '{"a":', '"a', ' ', '1', '/*', '\n']),
  [
    'JSON: keys',
    1_000,
    (count) =>
      (
        (text) => () =>
          parseJson(text)
      )(`{${listed(count, (i) => `"k${i}":1`)}}`),
  ],
  [
    'JSON: entries',
    2_000,
    (count) =>
      (
        (text) => () =>
          parseJson(text)
      )(`[${listed(count, () => '"a"')}]`),
  ],
  ...hard('form', 10_000, parseForm, ['a', '.', '%2e', '%', '+', '=', '&', 'a=b&'], ['name=', '']),
  ...hard('form, by its names', 10_000, parseForm, ['a', '.', '%2e', '%', '+', 'a.']),
  [
    'form: fields read',
    90,
    (count) => {
      const posted = Object.fromEntries(Array.from({ length: count }, (_, i) => [`a.b${i % 7}.c${i}`, ' 1 ']))
      return () => readForm(newUnit, posted, { whole: true })
    },
  ],
  [
    'form of a plate: prints read',
    90,
    (count) => {
      const posted = Object.fromEntries(Array.from({ length: count }, (_, i) => [`prints.${i}.tried`, '6']))
      return () => printsIn(readForm(plateForm, posted).values)
    },
  ],
  [
    'measure: points of an outline',
    500,
    (count) => {
      const ring = Array.from({ length: count }, (_, i) => [i % 20, i / count])
      const body = { widthMm: 20, depthMm: 20, heightMm: 20, front: [ring], side: ring.map((point) => [point]) }
      return () => newMeasure.safeParse(body)
    },
  ],
  [
    'body: unknown fields told',
    1_000,
    (count) => {
      const body = Object.fromEntries(Array.from({ length: count }, (_, i) => [`k${i}`, 1]))
      return () => fieldErrors(newUnit.safeParse(body).error ?? (new Error() as never))
    },
  ],
]

const fields: Cases = [
  ...hard('unit', 5_000, (text) => newUnit.safeParse({ name: text, aliases: [text], setting: text }), texts),
  ...hard('remark', 10_000, (text) => remark().safeParse(text), texts),
  ...hard('who signs in', 5_000, (text) => credentials.safeParse({ email: text, password: text }), [...texts, 'a@']),
  ...hard(
    'link',
    5_000,
    (text) => link.safeParse(text),
    ['a', 'ü', 'a.', 'ü.', '%41', '@', '../', ':', '?', '[', '\\'],
    ['https://', ''],
  ),
  ...hard('money', 5_000, (text) => money.safeParse({ amount: text, currency: text }), ['1', '.', '1.', 'EUR']),
  ...hard('new roster', 40_000, (text) => newRoster.safeParse({ name: 'a', text }), ['a', 'a\n']),
  [
    'a list of lines',
    1_000,
    (count) =>
      (
        (all) => () =>
          lines(12, 80).safeParse(all)
      )(Array.from({ length: count }, (_, i) => `\u200b${i}`)),
  ],
  [
    'who joins, whose name has words without end',
    5_000,
    (length) => {
      const name = listed(length / 6, (i) => `w${String(i).padStart(4, '0')}`)
      return () => newMember.safeParse({ name, email: 'a@group.example', password: 'z'.repeat(length) })
    },
  ],
]

const addresses: Cases = [
  ...hard('address', 800, (url) => withoutCodes(readableAddress({ url })), [
    '/',
    'a',
    '%',
    '%41',
    '%2f',
    '?',
    '#',
    'https://',
    '/invitations/',
    'way-back',
    'invitations%2f',
  ]),
  ...hard('where to go on', 800, nextPath, ['/', 'a', '\\', '%2f'], ['/', '']),
  ...hard('who asks', 800, placeOf, [':', 'a:', '::', '1.', '%', '::ffff:', '[', '1']),
  ...hard('words looked for', 800, wordsOf, [' ', '\u0000', 'a ']),
  ...hard('cursor', 800, (after) => readCursor(after, newUnit), ['W', 'a', 'W1tb', '=']),
]

/** No line of a list is longer than 400 characters: a quarter of a million of them have to go through in no time. */
const pasted: Cases = [
  ...['a ', ' ', ',', ', ', 'x ', ' x', '1', '1 ', '(', '( ', '1,', '"', ' "" ', '-', '- ', '\t', '1\t', '×'].map(
    (piece): Cases[number] => [
      `a line of ${JSON.stringify(piece)}`,
      19,
      (length) => {
        const text = `${of(`a${of(piece, length)}b\n`, 20 * length)}`
        return () => parseRoster(text, 'EUR')
      },
    ],
  ),
  ...[' ', '\u00a0', '\t'].map((blank): Cases[number] => [
    `a line that may be cut in many ways at ${JSON.stringify(blank)}`,
    5,
    (length) => {
      const gap = blank.repeat(length)
      const text = `a${gap},${gap}${gap}x${gap}(${gap}x${gap}y\n`
      return () => parseRoster(text, 'EUR')
    },
  ]),
  ...hard('a line of ornaments', 19, freeLine, ['☀', '☀\ufe0f '], ['a', 'b']),
  ...hard(
    'a table of one line',
    5_000,
    (text) => parseRoster(text, 'EUR'),
    ['a"', ' "" ', ',', '"'],
    ['unit,models\n', ''],
  ),
  ...hard(
    'a table',
    500,
    (text) => parseRoster(text, 'EUR'),
    ['a,1\n', '"a\n', 'a"b,1\n', '"a"b\n', ',\n'],
    ['unit,models\n', ''],
  ),
  ...hard('a list', 500, (text) => parseRoster(text, 'EUR'), ['\n', '\r', 'a\n', '#\n', '6 x a\n', '\t\n']),
]

const row = {
  sculptorId: '',
  sculptorName: 'Marrow Finch',
  sculptorCredit: 'unnamed' as const,
  sculptorHosts: ['finch.example', 'marrow.example'],
}
const masked: Cases = [
  ...hard('a name left out', 100, (text) => withoutName(text, row.sculptorName), [
    'a',
    'marrow',
    'marrow ',
    'marrow finch',
    'e\u0301marrow',
    '\u0301',
    'MarrowFinch',
    'ß',
  ]),
  ...hard('links left out', 500, (text) => discreet(text, row, { id: 'reader', role: 'member' }, null), [
    'a',
    'a.',
    'a-',
    'http://',
    'http://x ',
    'www.',
    'finch.example',
    'finch.example/',
    'a.finch.example:',
  ]),
]

describe.each([
  ['bodies', bodies],
  ['fields', fields],
  ['addresses', addresses],
  ['pasted lists', pasted],
  ['words about a sculptor', masked],
])('what takes in %s is as long at it as there is of it', (_, cases) => {
  test.each(cases)('%s', async (_what, size, work) => expectLinear(size, work))
})
