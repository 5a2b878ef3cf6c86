import fingerprints from './common-passwords.json' with { type: 'json' }
import { fingerprint } from './fingerprint.ts'

/** The most frequent passwords of at least 10 characters, as test/reference/common-passwords/make.ts made them. */
const known = new Set(fingerprints)

/** Whether many people have had this password, whatever its capitals: it is among the first that are tried. */
const isCommon = (password: string) => known.has(fingerprint(password.toLowerCase()))

/** What others know of whoever sets a password. */
interface Around {
  name: string
  email: string
  groupName: string
}

const advice = 'A few unrelated words make a good one.'

/**
 * What makes a password too easy to guess, besides its length: many have had it, or it is little more than the name of
 * its member, of the group, of the e-mail address or of the service. A name counts in any case and accents, backwards,
 * and with digits for letters (`0d1le`); besides names there have to be six letters, five of them different, since a
 * year or a row of digits is soon added to a guess.
 *
 * @returns the reason, or undefined when there is none
 */
export function weakness(password: string, around: Around): string | undefined {
  if (isCommon(password))
    return 'Many people have used this password, so attackers try it first. Please choose another.'
  const known = knownWords(around)
  for (const spelling of spellings(password)) {
    const what = littleMoreThan(spelling, known)
    if (what) return `This is little more than ${what}, which attackers try first. ${advice}`
  }
  if (new Set(password.replace(/[\s._-]/g, '')).size < 5) return `This has too few different characters. ${advice}`
  return undefined
}

interface Word {
  word: string
  what: string
}

/** Longest first, so that a whole name is found before one of its parts. */
function knownWords({ name, email, groupName }: Around): Word[] {
  const sources: [string, string][] = [
    ['your name', name],
    ['your e-mail address', email],
    ['the name of the group', groupName],
    ['the name of this service', 'understudy'],
    ['the word “password”', 'password'],
  ]
  return sources
    .flatMap(([what, text]) =>
      partsOf(text).flatMap((word) => [word, backwards(word)].map((one) => ({ word: one, what }))),
    )
    .sort((a, b) => b.word.length - a.word.length)
}

const backwards = (word: string) => [...word].reverse().join('')

/** Without accents and in small letters. */
const folded = (text: string) => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase()

const squeezed = (text: string) => text.replace(/[^\p{L}\p{N}]/gu, '')

/** The words of a name with and without its digits, and all of it in one. What is shorter than three is everywhere. */
function partsOf(text: string): string[] {
  const plain = folded(text)
  const words = [squeezed(plain), ...plain.split(/[^\p{L}\p{N}]+/u), ...plain.split(/\P{L}+/u)]
  return [...new Set(words)].filter((word) => word.length >= 3)
}

const letterOf: Record<string, string> = { 0: 'o', 3: 'e', 4: 'a', 5: 's', 7: 't', '@': 'a', $: 's' }

/** A password as it stands, and as it reads with its digits taken for letters. */
function spellings(password: string): string[] {
  const plain = folded(password)
  const read = plain.replace(/[03457@$]/g, (sign) => letterOf[sign] ?? sign)
  return [plain, read.replace(/[1!]/g, 'i'), read.replace(/[1!]/g, 'l')].map(squeezed)
}

function littleMoreThan(spelling: string, known: readonly Word[]): string | undefined {
  let [rest, what]: [string, string | undefined] = [spelling, undefined]
  for (const one of known) {
    if (!rest.includes(one.word)) continue
    what ??= one.what
    rest = rest.replaceAll(one.word, ' ')
  }
  const letters = rest.replace(/\P{L}/gu, '')
  return letters.length < 6 || new Set(letters).size < 5 ? what : undefined
}
