import { describe, expect, test } from 'vitest'
import { drawsOf, keptOf, meanOf } from '../../server/scoring/draws.ts'
import { type FitOptions, type Fitted, fitGroup, sweepsFor } from '../../server/scoring/fit.ts'
import type { Plate, Print } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'
import { drawTruth, printAll, smallDesign } from '../study/drawn-group.ts'

const unknown = "don't know"

let count = 0
const plate = (over: Partial<Plate> & { print?: Partial<Print>; prints?: Print[] }): Plate => {
  const { print = {}, ...rest } = over
  const own: Print = { line: 'hound', sculptor: 'Sedge', good: 1, failures: [], ...print }
  return { id: `p${count++}`, period: 'attic', crowding: 'about full', day: 0, prints: [own], ...rest }
}

const lineMean = ({ layout, lines, group }: Fitted, name: string) =>
  meanOf(drawsOf(keptOf(lines, layout.lines.indexOf(name), group.count)))

const periodMean = ({ layout, periods, group }: Fitted, name: string) =>
  meanOf(drawsOf(keptOf(periods, layout.periods.indexOf(name), group.count)))

describe('the same reports give the same figures', () => {
  const random = new Random(12)
  const design = smallDesign({ plates: 60 }, random)
  const plates = printAll(design, drawTruth(design, random), 0.2, random)
  const short: FitOptions = { sweeps: 60, kept: 40 }
  const fitted = fitGroup(plates, short)

  test('in any order, to the bit', () => {
    const shuffled = plates
      .map((one) => ({ one, at: random.uniform() }))
      .toSorted((one, other) => one.at - other.at)
      .map(({ one }) => one)
    expect(shuffled.map(({ id }) => id)).not.toEqual(plates.map(({ id }) => id))
    expect(fitGroup(shuffled, short)).toEqual(fitted)
  })

  test('another seed gives others', () => {
    expect(fitGroup(plates, { ...short, seed: 2 }).lines).not.toEqual(fitted.lines)
  })

  test('the order of days decides, not that of ids', () => {
    const renamed = plates.map((one, at) => ({ ...one, id: `renamed ${999 - at}` }))
    expect(fitGroup(renamed, short).periods).toEqual(fitted.periods)
    const backwards = plates.map((one) => ({ ...one, day: -one.day }))
    expect(fitGroup(backwards, short).periods).not.toEqual(fitted.periods)
  })

  test('failed copies add up: shares of file and machine are no more than all', () => {
    fitted.blame.file.forEach((file, print) => {
      const [from = 0, to = 0] = fitted.layout.printStart.slice(print, print + 2)
      const machine = fitted.blame.machine[print] ?? 0
      if (from === to) expect([file, machine]).toEqual([0, 0])
      else expect(file + machine).toBeLessThanOrEqual(1 + 1e-6)
    })
  })
})

test('as many sweeps as the size has it, some more to find the way, twice as many if they did not agree', () => {
  expect([0, 100, 250, 500, 3000, 12_000, 48_000, 1_000_000].map(sweepsFor)).toEqual([
    3200, 3200, 1600, 800, 800, 400, 200, 200,
  ])
  expect(fitGroup([plate({})]).sweeps).toBe(2 * (3200 + 960))
  expect(fitGroup([plate({})], { longer: true }).sweeps).toBe(2 * (6400 + 1920))
})

describe('blame of one failed copy, by hand: sum over F of P(F) P(look | F) / |F|, means of the priors held', () => {
  // Success .85, .9 and .95, label by cause as in SCORING's table, which is not scaled under `hold` nor needs it.
  const stages = [0.85, 0.9, 0.95]
  const byHand = (row: readonly number[]) => {
    const shares = [0, 0, 0]
    let all = 0
    for (let set = 1; set < 8; set++) {
      const failed = [0, 1, 2].filter((stage) => set & (1 << stage))
      const chance = stages.reduce((product, p, stage) => product * (failed.includes(stage) ? 1 - p : p), 1)
      const weight = (chance * failed.reduce((sum, stage) => sum + (row[stage] ?? 0), 0)) / failed.length
      all += weight
      for (const stage of failed) shares[stage] = (shares[stage] ?? 0) + weight / failed.length
    }
    return shares.map((share) => share / all)
  }

  test.each<[string, readonly number[]]>([
    ['supports snapped', [0.4, 0.12, 0.25]],
    ['nothing stuck to the plate', [0.03, 0.34, 0.1]],
    ['stuck to the film', [0.05, 0.2, 0.28]],
    [unknown, [1, 1, 1]],
  ])('%s', (seen, row) => {
    const one = plate({ print: { good: 0, failures: [{ seen, copies: 1 }] } })
    const { blame } = fitGroup([one], { hold: true, sweeps: 20_000, kept: 40 })
    const [file = Number.NaN, machine = Number.NaN] = byHand(row)
    expect(blame.file[0]).toBeCloseTo(file, 2)
    expect(blame.machine[0]).toBeCloseTo(machine, 2)
  })
})

describe('weights', () => {
  const failing = (print: Partial<Print>, copies = 8) =>
    plate({ print: { good: 0, failures: [{ seen: 'supports snapped', copies }], ...print } })
  const options: FitOptions = { hold: true, sweeps: 4000, kept: 2000 }
  const fittedWith = (print: Partial<Print>) => fitGroup([failing(print)], options)

  test('what counts for little leaves the file near its prior, and the machine where it is', () => {
    const [none, full, half, hardly] = [
      fitGroup([plate({ print: { line: 'other', sculptor: 'Rush' } }), plate({ print: { good: 0 } })], options),
      fittedWith({}),
      fittedWith({ fileWeight: 0.5 }),
      fittedWith({ fileWeight: 1e-9 }),
    ]
    expect(lineMean(full, 'hound')).toBeLessThan(lineMean(half, 'hound') - 0.05)
    expect(lineMean(half, 'hound')).toBeLessThan(lineMean(hardly, 'hound') - 0.05)
    // Within .012: 2,000 draws of sd .12, and what is left of their going together.
    expect(Math.abs(lineMean(hardly, 'hound') - lineMean(none, 'hound'))).toBeLessThan(0.012)
    // A file that learns nothing leaves more of the failures to the machine.
    expect(periodMean(hardly, 'attic')).toBeLessThan(periodMean(full, 'attic') - 0.01)
  })

  test('a share of good copies, by hand: Beta(8.5 + w n, 1.5), the sculptor being nobody else', () => {
    // Mean of p under Beta(mu k + w n, (1 - mu) k), mu from Beta(8.5, 1.5), by a sum over mu: each is weighted by
    // B(mu k + w n, (1 - mu) k) / B(mu k, (1 - mu) k), by the rising factorials of whole numbers of copies.
    const expected = (worth: number) => {
      let [all, sum] = [0, 0]
      for (let mu = 0.0005; mu < 1; mu += 0.001) {
        let weight = mu ** 7.5 * (1 - mu) ** 0.5
        for (let copy = 0; copy < worth; copy++) weight *= (10 * mu + copy) / (10 + copy)
        all += weight
        sum += (weight * (10 * mu + worth)) / (10 + worth)
      }
      return sum / all
    }
    const good = (print: Partial<Print>) => fitGroup([plate({ print: { good: 20, ...print } })], options)
    expect(lineMean(good({}), 'hound')).toBeCloseTo(expected(20), 2)
    expect(lineMean(good({ fileWeight: 0.5 }), 'hound')).toBeCloseTo(expected(10), 2)
    expect(lineMean(good({ fileWeight: 0.2 }), 'hound')).toBeCloseTo(expected(4), 2)
  })

  test('what counts for less does so for the file alone', () => {
    const less = fitGroup([plate({ print: { good: 20, fileWeight: 0.2 } })], options)
    expect(meanOf(less.group.plates['about full'])).toBeCloseTo((19 + 20) / (20 + 20), 2)
    expect(periodMean(less, 'attic')).toBeCloseTo(29 / 30, 2)
    expect(less.copies[0]).toBe(4)
  })

  test('what makes no sense is refused', () => {
    const refused = (print: Partial<Print>) => expect(() => fitGroup([plate({ print })], { sweeps: 4, kept: 8 }))
    refused({ fileWeight: 0 }).toThrow(RangeError)
    refused({ fileWeight: 1.1 }).toThrow(RangeError)
    refused({ fileWeight: Number.NaN }).toThrow(RangeError)
    refused({ good: -1 }).toThrow(RangeError)
    refused({ good: 0.5 }).toThrow(RangeError)
    refused({ failures: [{ seen: 'smell', copies: 1 }] }).toThrow('smell')
    const twice = [plate({}), plate({ print: { sculptor: 'Rush' } })]
    expect(() => fitGroup(twice, { sweeps: 4, kept: 8 })).toThrow('line "hound" is two sculptors\'')
    const crowded = plate({ crowding: 'bursting' as Plate['crowding'] })
    expect(() => fitGroup([crowded], { sweeps: 4, kept: 8 })).toThrow('bursting')
  })
})
