import type { MoneyValue } from './money.tsx'
import { hoursWords, ofHundred } from './numbers.ts'
import type { Placed } from './plate-drawing.tsx'

type Crowding = 'half empty' | 'about full' | 'packed'

/** What becomes of so many copies, spread over so many plates. */
export interface Outlook {
  crowding: Crowding
  plates: number
  /** Copies on each plate. */
  perPlate: number[]
  /** Chance that every copy comes out good. */
  allGood: number
  expectedFailures: number
  /** Copies to print to have as many good ones in 9 cases of 10. */
  toPrint: number
  /** How full it is was worked out, not told. */
  workedOut: boolean
  layers: number | null
  hours: number | null
  resinMl: number
  resinG: number
  /** Expected, to have as many good ones. */
  cost: MoneyValue
  /** Where copies stand on the fullest plate; null where they do not fit. */
  packed: Placed[] | null
}

/** "one half-empty plate", "2 plates that are about full". */
function platesWords(plates: number, crowding: Crowding): string {
  const number = plates === 1 ? 'one' : plates
  const noun = plates === 1 ? 'plate' : 'plates'
  if (crowding === 'about full') return `${number} ${noun} that ${plates === 1 ? 'is' : 'are'} about full`
  return `${number} ${crowding === 'packed' ? 'packed' : 'half-empty'} ${noun}`
}

/** What fits and costs least; of two that cost the same the one on fewer plates. */
export const cheapestOf = (ways: readonly Outlook[]): Outlook | undefined =>
  ways
    .filter(({ packed }) => packed !== null)
    .toSorted((one, other) => Number(one.cost.amount) - Number(other.cost.amount) || one.plates - other.plates)[0]

/** "Cheapest: 3 + 3 on two plates, one plate more, 4 ¼ h longer." */
export function bestWords(best: Outlook, ways: readonly Outlook[]): string {
  const fewest = ways.find(({ packed }) => packed !== null) ?? best
  const more = best.plates - fewest.plates
  const longer = best.hours === null || fewest.hours === null ? 0 : best.hours - fewest.hours
  const words = [
    `Cheapest: ${spreadWords(best.perPlate)}`,
    more > 0 && (more === 1 ? 'one plate more' : `${more} plates more`),
    longer > 0 && `${hoursWords(longer)} longer`,
  ]
  return `${words.filter(Boolean).join(', ')}.`
}

/** The fuller the plate, the more fail: not in every group yet, since that is learnt from what its plates did. */
export function emptierFailLess(ways: readonly Outlook[]): boolean {
  const [first] = ways
  const last = ways.at(-1)
  return first !== undefined && last !== undefined && last.expectedFailures < first.expectedFailures - 0.005
}

/** "All 6 copies on one packed plate come out good in 41 of 100 tries; on average 1.3 fail." */
export function chancesWords({ copies, plates, crowding, allGood, expectedFailures }: Outlook & { copies: number }) {
  const where = `on ${platesWords(plates, crowding)}`
  const all = copies === 1 ? `One copy ${where} comes` : `All ${copies} copies ${where} come`
  return `${all} out good in ${hundred(allGood)} tries; on average ${failWords(expectedFailures)}.`
}

/** "To have 6 good ones in 9 cases of 10, print 8." */
export function toPrintWords({ copies, toPrint }: Pick<Outlook, 'toPrint'> & { copies: number }): string {
  const good = copies === 1 ? 'a good one' : `${copies} good ones`
  return toPrint === copies
    ? `In 9 cases out of 10 no more have to be printed to have ${good}.`
    : `To have ${good} in 9 cases out of 10, print ${toPrint}.`
}

/** "41 of 100": a share of tries, never all or none of them while it is only likely. */
export function hundred(share: number): string {
  if (share < 0.005) return 'fewer than 1 of 100'
  return share < 0.995 ? ofHundred(share) : 'more than 99 of 100'
}

export function failWords(failures: number): string {
  if (failures < 0.05) return 'hardly any fails'
  const words = failures < 9.95 ? failures.toFixed(1) : String(Math.round(failures))
  return words === '1.0' ? '1 fails' : `${words} fail`
}

/** "6 on one plate", "3 + 3 on two plates". */
export function spreadWords(perPlate: number[]): string {
  const numbers = ['no', 'one', 'two', 'three', 'four', 'five', 'six']
  const plates = `${numbers[perPlate.length] ?? perPlate.length} ${perPlate.length === 1 ? 'plate' : 'plates'}`
  if (perPlate.length > 4) return `${perPlate[0]} at most on each of ${perPlate.length} plates`
  return `${perPlate.join(' + ')} on ${plates}`
}
