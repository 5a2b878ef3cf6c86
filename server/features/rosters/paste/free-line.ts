/** A line before its numbers are read. */
export type Raw = {
  words: string
  /** the whole line, where its number may belong to the name after all */
  whole?: string
  models: string | null
  /** a second number, in brackets: "2 x Eel Spears (10 models)" */
  inBrackets?: string
  amount?: string
  currency?: string
}

const times = '[x×✕✖⨯*]'
const figures = '(?:models?|figures?)'
/** What a unit is worth in a game: lists say it on each line, and nothing here is counted in it. */
const points = String.raw`\d+(?:[.,]\d+)?\s*(?:pts?|points?)\.?`
const pattern = (text: string, flags = 'i') => new RegExp(text, flags)

const pointsAlone = pattern(`^${points}$`)
const pointsInBrackets = pattern(String.raw`\s*[([]\s*${points}\s*[)\]]`, 'gi')
/** "(10 models, 120 points)" */
const pointsBeside = pattern(String.raw`[,;]\s*${points}\s*(?=[)\]])|(?<=[([])\s*${points}\s*[,;]`, 'gi')
const pointsLast = pattern(String.raw`(?:\s*[,;:@–—-])?\s*\b${points}$`)

/** Beside words nobody can tell whether it is that of a box or of the line, so only a column says a price. */
const price = String.raw`(?:(?:US)?[€$£]\s?\d+(?:[.,]\d+)?|\d+(?:[.,]\d+)?\s?(?:€|EUR\b|GBP\b|USD\b))`
const priceInBrackets = pattern(String.raw`\s*[([]\s*${price}\s*[)\]]`, 'g')
const priceLast = pattern(String.raw`(?:\s*[,;:@–—-])?\s*(?<![\w.,])${price}$`)

/** "Leaders:", or between signs that stand twice: "== Beasts ==" */
const heading = /^(?:([^\p{L}\p{N}\s])\1.*\1\1|[^\d:]+:)$/u
/** "Total: 1250 pts", "Points: 1250" */
const total = pattern(String.raw`^(?:(?:sub-?|grand )?total(?: points| cost)?|points)\s*[:=]?\s*\d*$`)

const bullets = /^(?:(?:[-–—•◦▪‣·*+]|\d+\))\s+|\p{Extended_Pictographic}\uFE0F?\s*)+/u
/** Begins at the first of them alone: from each of many it would go to the end of them, and find that words follow. */
const ornamentsLast = /(?<!\p{Extended_Pictographic}\uFE0F?\s*)(?:\s*\p{Extended_Pictographic}\uFE0F?)+$/u

const numberFirst = [
  pattern(String.raw`^([-−]?\d+(?:[.,]\d+)?)\s*${times}\s*(\D.*)$`),
  pattern(String.raw`^(\d+)\s+(?:${figures}\s+(?:of\s+)?)?(\D.*)$`),
]
const numberLast = [
  pattern(String.raw`^(.+?)(?:\s*[,;:]|\s[-–—])\s*${times}?\s*(\d+)\s*(?:${times}|${figures})?$`),
  pattern(String.raw`^(.+?)\s+${times}\s*(\d+)$`),
  pattern(String.raw`^(.+?)\s+(\d+)\s*(?:${times}|${figures})$`),
]
/** "×10 Eel Spears", where the unit may be called so */
const timesFirst = pattern(String.raw`^${times}\s*(\d+)\s+(\D.*)$`)
const inBrackets = pattern(String.raw`^(.+?)\s*\(\s*${times}?\s*(\d+)\s*(?:${times}|${figures})?(\s+each)?\s*\)$`)
/** Beside a number of models: lists say so what a unit is worth in a game. */
const bareInBrackets = /\(\s*\d+\s*\)$/
const numberCell = pattern(String.raw`^\d+\s*(?:${times}|${figures})?$|^${times}\s*\d+$`)

/**
 * A number before or after the words, in cells that tabs part or in one; whatever else stands there belongs to the words.
 * Bullets, points, prices beside words, headings and totals are passed over.
 *
 * @returns null where nothing is left
 */
export function freeLine(text: string): Raw | null {
  const cells = text
    .split('\t')
    .map((cell) => cell.replace(/\s+/g, ' ').trim().replace(bullets, ''))
    .filter((cell) => !pointsAlone.test(cell))
    .map(withoutPoints)
  const filled = cells.filter((cell) => cell !== '')
  if (filled.length > 1) return tabbed(cells)
  const line = withoutPrice(filled[0] ?? '')
  return line === '' || heading.test(line) || total.test(line) ? null : inWords(line)
}

/** Of a cell whose blanks come one by one, or the patterns would try each run of them in every way it can be shared out. */
const withoutPoints = (cell: string) =>
  cell.replace(ornamentsLast, '').replace(pointsBeside, '').replace(pointsInBrackets, '').replace(pointsLast, '')

const withoutPrice = (line: string) => withoutPoints(line.replace(priceInBrackets, '').replace(priceLast, ''))

function inWords(line: string): Raw {
  const [, name, inside, isEach] = inBrackets.exec(line) ?? []
  const outside = counted(name ?? line)
  if (outside.models === null || outside.whole !== undefined)
    return name === undefined ? outside : { words: name, models: inside ?? null }
  if (name === undefined) return withBrackets(outside.words, outside.models)
  return bareInBrackets.test(line) ? outside : both(outside, inside ?? '', isEach)
}

/** By the number before or after the words, none in brackets. */
function counted(line: string): Raw {
  const [, models, words] = firstOf(numberFirst, line)
  if (words !== undefined) return { words, models: models ?? null }
  const [, called, count] = firstOf(numberLast, line)
  if (called !== undefined) return { words: called, models: count ?? null }
  const [, before, named] = timesFirst.exec(line) ?? []
  if (named !== undefined) return { words: named, models: before ?? null, whole: line }
  const [, last, number] = /^(.*\D)\s+(\d+)$/.exec(line) ?? []
  if (last !== undefined) return { words: last, models: number ?? null, whole: line }
  return { words: line, models: null }
}

const firstOf = (patterns: readonly RegExp[], line: string): readonly (string | undefined)[] => {
  for (const one of patterns) {
    const found = one.exec(line)
    if (found) return found
  }
  return []
}

/** Words with a number of their own in brackets, beside one that stands elsewhere: "Eel Spears (10 models)". */
export function withBrackets(words: string, models: string): Raw {
  const [, name, inside, isEach] = inBrackets.exec(words) ?? []
  if (name === undefined) return { words, models }
  return bareInBrackets.test(words) ? { words: name, models } : both({ words: name, models }, inside ?? '', isEach)
}

/** The same number said twice is one, and “each” says what is meant. */
function both({ words, models }: Raw, inside: string, isEach: string | undefined): Raw {
  if (isEach !== undefined) return { words, models: String(Number(models) * Number(inside)) }
  return models === inside ? { words, models } : { words, models, inBrackets: inside }
}

function tabbed(cells: string[]): Raw {
  const number = cells.findIndex((cell) => numberCell.test(cell))
  const words = cells.find((cell, index) => index !== number && cell !== '') ?? ''
  const after = cells.slice(Math.max(number, cells.indexOf(words)) + 1)
  const read = number < 0 ? inWords(words) : withBrackets(words, (cells[number] ?? '').replace(/\D/g, ''))
  return { ...read, ...(after[0] && { amount: after[0] }), ...(after[1] && { currency: after[1] }) }
}
