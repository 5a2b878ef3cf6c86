/**
 * Words of four letters and more that names of sculptors are made of and members' texts as well: alone they give nobody
 * away. Without the "s" of several. From the trade and its settings, common practice, no source.
 */
const ordinary = new Set(
  `
  after also from into more only over some than that their them then there these they this what when where which with
  your ours mine black white grey gray green blue brown golden gold silver bronze copper brass tin iron steel lead
  pewter stone rock clay bone wood oak ash ember flame fire frost winter summer autumn spring night dawn dusk moon star
  light dark shadow storm thunder river lake marsh moor fen hill mountain valley forest field north south east west old
  young great little small large wild free lost last first hidden secret silent broken ancient noble royal crown throne
  king queen prince princess lord lady knight warden guard sentry soldier warrior archer rider wizard witch mage giant
  dwarf goblin dragon demon ghost spirit skull beast wolf bear raven crow hawk eagle owl heron fox lion tiger boar stag
  horse hound snake spider sword shield spear hammer axe banner helm arrow bow blade castle tower gate wall bridge door
  house home hall lane road street corner yard mill forge anvil foundry smithy workshop works work studio studios atelier
  factory lab press bench table desk shelf cellar garage shed garden tabletop game gaming hobby craft crafts maker making
  sculptor sculpt sculpting sculpted sculpture model modeller modelling miniature mini figure figurine print printer
  printing printed printable resin layer cast casting supply support supplied scale base bust terrain army armies legion
  company squad troop tribe clan guild club brother sister family friend people folk group team design designer digital
  art artist arts creation creative collection collective store shop market trade world realm land kingdom empire hero
  legend myth saga tale story fantasy medieval modern future space battle war peace
  `
    .split(/\s+/)
    .filter(Boolean),
)

/** @param word in small plain letters */
const isOrdinary = (word: string) => ordinary.has(word) || (word.endsWith('s') && ordinary.has(word.slice(0, -1)))

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
/** A shorter part of a name is no more than an initial or "the". */
const longPart = 4

/**
 * Puts "the sculptor" in the place of a name, in any case, with or without accents, its words apart by whatever is no
 * letter; and in the place of each of its words that is no ordinary one ("Grebe" of "The Grebe Mill"), where it stands as
 * a word of its own. A text without them comes back as it is.
 */
export function withoutName(text: string, name: string): string {
  const words = name.split(/[^\p{L}\p{N}\p{M}]+/u).map((word) => plainText(word).letters)
  const parts = new Set(words.filter((word) => word.length >= longPart && !isOrdinary(word)))
  const whole = words.join('')
  // Of ordinary words alone, such as "The Mill", it would be found in the middle of "by the millions".
  const anywhere = whole.length >= longName && parts.size > 0
  const left = leaveOut(text, whole, (from, to) => anywhere || isWhole(text, from, to))
  return [...parts].reduce(
    (rest, part) => leaveOut(rest, part, (from, to) => isWhole(rest, from, to) && isOneWord(rest.slice(from, to))),
    left,
  )
}

/** @param wanted in small plain letters */
function leaveOut(text: string, wanted: string, isMeant: (from: number, to: number) => boolean): string {
  const found = plainText(text)
  let result = ''
  let copied = 0
  for (const at of occurrences(found.letters, wanted)) {
    const from = found.places[at] ?? 0
    const to = endOfLetter(text, found.places[at + wanted.length - 1] ?? 0)
    if (from < copied || !isMeant(from, to)) continue
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

const isOneWord = (text: string) => /^[\p{L}\p{N}\p{M}]+$/u.test(text)

/** Whether no word goes on before or behind it; a capital in the middle begins a new one, as in "GrebeMinis". */
const isWhole = (text: string, from: number, to: number) => isEdge(text, from) && isEdge(text, to)

function isEdge(text: string, at: number): boolean {
  return !isAt(text, at, inOneWord) || isAt(text, at, capitalBehindSmall)
}

// They look around a place; the text on both sides of it may be long, and there may be many places.
const inOneWord = /(?<=[\p{L}\p{N}\p{M}])(?=[\p{L}\p{N}\p{M}])/uy
const capitalBehindSmall = /(?<=\p{Ll}\p{M}*)(?=\p{Lu})/uy

function isAt(text: string, at: number, pattern: RegExp): boolean {
  pattern.lastIndex = at
  return pattern.test(text)
}
