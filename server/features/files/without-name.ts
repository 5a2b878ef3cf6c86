/** Letters that no accent can be taken off; the rest is told apart by Unicode itself. */
const plainLetters: Record<string, string> = {
  ß: 'ss',
  ø: 'o',
  æ: 'ae',
  œ: 'oe',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  ı: 'i',
}

const plainLetter = (letter: string) => plainLetters[letter] ?? letter.normalize('NFKD').replace(/[^\p{L}\p{N}]/gu, '')

/** The text as small plain letters and digits, and where each of them stood. */
function plainText(text: string): { letters: string; places: number[] } {
  let letters = ''
  const places: number[] = []
  for (const { 0: character, index } of text.matchAll(/[\p{L}\p{N}]/gu)) {
    const plain = [...character.toLowerCase()].map(plainLetter).join('')
    letters += plain
    places.push(...Array.from(plain, () => index))
  }
  return { letters, places }
}

/** A shorter name is only taken out as a word of its own, or "Ann" would be taken out of "planned". */
const longName = 6

/**
 * Puts "the sculptor" in the place of a name, in any case, with or without accents, its words apart by whatever is no
 * letter. A text without it comes back as it is.
 */
export function withoutName(text: string, name: string): string {
  const found = plainText(text)
  const wanted = plainText(name).letters
  let result = ''
  let copied = 0
  for (const at of occurrences(found.letters, wanted)) {
    const from = found.places[at] ?? 0
    const to = endOfLetter(text, found.places[at + wanted.length - 1] ?? 0)
    if (from < copied || (wanted.length < longName && !isWord(text, from, to))) continue
    result += `${text.slice(copied, from)}the sculptor`
    copied = to
  }
  return result + text.slice(copied)
}

function occurrences(letters: string, wanted: string): number[] {
  const found: number[] = []
  if (wanted === '') return found
  for (let at = letters.indexOf(wanted); at >= 0; at = letters.indexOf(wanted, at + 1)) found.push(at)
  return found
}

/** Behind the letter at this place and the accents that follow it. */
const endOfLetter = (text: string, from: number) => from + (/^.\p{M}*/u.exec(text.slice(from))?.[0].length ?? 1)

const isWord = (text: string, from: number, to: number) =>
  !/[\p{L}\p{N}]$/u.test(text.slice(0, from)) && !/^[\p{L}\p{N}]/u.test(text.slice(to))
