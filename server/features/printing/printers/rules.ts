import { ofHundred } from '../../../../web/parts/numbers.ts'
import type { Film } from './film.ts'
import type { Look } from './schema.ts'

type Known = Pick<
  Film,
  'because' | 'mean' | 'worn' | 'wornSince' | 'plates' | 'startsOn' | 'isCounted' | 'idleDays' | 'usualLife'
>

/** Whether film, level and vat want a look before the next plate, and why, in words. */
export function lookOf(film: Known): Look {
  const { because, worn, wornSince } = film
  return { due: because !== 'nothing speaks for it', because, worn, wornSince, words: wordsOf[because](film) }
}

/** Of a printer on which no more plates are printed. */
export const retired: Look = {
  due: false,
  because: 'nothing speaks for it',
  worn: 0,
  wornSince: null,
  words: 'It is retired: no more plates are printed on it.',
}

const wordsOf: Record<Film['because'], (film: Known) => string> = {
  'probably worn': ({ worn }) =>
    `Look at the film and the level, and filter the vat, before the next plate: ${wornWords(worn)}.`,
  'worse than in order': ({ mean, startsOn }) =>
    `Look at the film and the level, and filter the vat, before the next plate: ${since(startsOn)} fewer copies have come through than on a machine in good order (the machine alone ${ofHundred(mean)}), from the first plates on.`,
  'usual life of a film': ({ worn, plates, usualLife, startsOn }) =>
    `It has printed ${plates} plates ${since(startsOn)}; in this group a film lasts about ${usualLife}. Nothing in its prints suggests wear (${wornWords(worn)}), but have a look.`,
  'long idle': ({ idleDays }) =>
    `Nothing has been printed on it or done to it for ${Math.round((idleDays ?? 0) / 30)} months. Nothing in its prints suggests wear, but film, level and vat want a look before it is used again (a rule of the trade, not worked out from your prints).`,
  'nothing speaks for it': ({ worn, plates, startsOn, isCounted }) => {
    if (plates === 0) return `Nothing has been reported ${since(startsOn)} to judge it by.`
    if (!isCounted) return 'Its plates are not counted yet; the figures are being worked out.'
    return `No reason to look: ${wornWords(worn)}.`
  },
}

const wornWords = (worn: number) => `the chance that its film is worn or its level off is ${ofHundred(worn)}`

const since = (startsOn: string | null) => (startsOn === null ? 'so far' : 'since its last upkeep')
