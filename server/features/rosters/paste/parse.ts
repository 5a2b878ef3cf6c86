import { line as lineField, money } from '../../../http/fields.ts'
import type { Money } from '../../../http/money.ts'
import { freeLine, type Raw } from './free-line.ts'
import { headingOf, tableRows } from './table.ts'

/** One line of a pasted list, as far as it can be understood without knowing the units. */
export interface ParsedLine {
  /** counted from 1, as an editor does */
  line: number
  /** what stands for the unit */
  words: string
  /** null where the line says no number: one unit is meant then */
  models: number | null
  /** the other number that may be meant: "2 x Eel Spears (10 models)" are 10 in all, or 20 */
  each?: number
  /** the whole line, where its number may belong to the name after all: "Sluice 4" */
  whole?: string
  /** of a box */
  retailPrice: Money | null
}

export interface ParsedRoster {
  lines: ParsedLine[]
  /** lines that can't be kept, with the reason */
  problems: { line: number; message: string }[]
}

/** More of one unit than anybody fields. */
export const mostModels = 1000
const mostWords = 120
/** No line of a list is longer; what is, was not meant to be one. */
const mostCharacters = 400

/** Lines of a text that hold something: neither remarks nor rules of dashes. */
export const linesIn = (text: string) =>
  text
    .split(/\r\n?|\n/)
    .map((words, index) => ({ line: index + 1, text: words.trim() }))
    .filter(({ text: words }) => /[\p{L}\p{N}]/u.test(words) && !words.startsWith('#'))

/**
 * Reads a list a line at a time: `6 x Fen Wardens`, `Fen Wardens, 6`, `Fen Wardens x6`, `Fen Wardens (6)`, with tabs, or
 * a table with a heading such as `unit,models,retail price,currency`. Never throws.
 *
 * @param currency of prices that name none
 */
export function parseRoster(text: string, currency: string): ParsedRoster {
  const all = linesIn(text)
  const [head] = all
  const columns = head && head.text.length <= mostCharacters ? headingOf(head.text) : undefined
  const lines = columns ? all.slice(1) : all
  const texts = lines.map(({ text: words }) => (words.length > mostCharacters ? '' : words))
  const read = columns ? tableRows(texts, columns) : texts.map(freeLine)
  const found: ParsedRoster = { lines: [], problems: [] }
  for (const [index, { line, text: words }] of lines.entries()) {
    const raw = words.length > mostCharacters ? `This is longer than ${mostCharacters} characters.` : read[index]
    if (!raw) continue
    const kept = typeof raw === 'string' ? raw : keep(raw, currency)
    if (typeof kept === 'string') found.problems.push({ line, message: kept })
    else found.lines.push({ line, ...kept })
  }
  return found
}

/** @returns the line with its numbers, or what is wrong with it */
function keep(raw: Raw, currency: string): Omit<ParsedLine, 'line'> | string {
  if (raw.words.trim() === '') return 'It names no unit.'
  const words = lineField(mostWords).safeParse(raw.words.replace(/\s+/g, ' '))
  if (!words.success) return words.error.issues[0]?.message ?? 'This cannot be read.'
  const models = raw.models === null ? null : modelsOf(raw.models)
  if (typeof models === 'string') return models
  const each = raw.inBrackets === undefined ? undefined : modelsOf(String(Number(raw.models) * Number(raw.inBrackets)))
  const all = raw.inBrackets === undefined ? models : modelsOf(raw.inBrackets)
  if (typeof all === 'string') return all
  const both = typeof each === 'number' && each !== all ? { each } : {}
  const kept = { words: words.data, models: all, ...both, ...(raw.whole !== undefined && { whole: raw.whole }) }
  if (!raw.amount) return { ...kept, retailPrice: null }
  const price = money.safeParse({
    amount: raw.amount.replace(',', '.'),
    currency: (raw.currency || currency).toUpperCase(),
  })
  if (!price.success) return `The price cannot be read: ${price.error.issues[0]?.message ?? ''}`.trim()
  return { ...kept, retailPrice: price.data }
}

function modelsOf(digits: string): number | string {
  if (!/^\d+$/.test(digits)) return `“${digits.slice(0, 20)}” is not a whole number of models.`
  const models = Number(digits)
  if (models === 0) return 'This says 0 models: leave the line out.'
  return models > mostModels ? `At most ${mostModels} models of one unit; split the line.` : models
}
