import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CostBar } from '../../web/parts/cost-bar.tsx'
import { CountedMark, IntervalMark, rangeWords, shareWords, successWords } from '../../web/parts/success-interval.tsx'
import { type ChartedPeriod, UpkeepChart } from '../../web/parts/upkeep-chart.tsx'
import { outOfHundred, VerdictBar, verdictWords } from '../../web/parts/verdict-bar.tsx'
import { html, words } from './render.tsx'

const breakdown = {
  price: '9.00',
  resinForGood: '4.20',
  plates: '1.00',
  failures: '1.05',
  snagTime: '0.60',
  looks: '2.00',
}

function widths(markup: string): number[] {
  return [...markup.matchAll(/class="bar-piece bar-\w+" x="[\d.]+%" y="1" width="([\d.]+)%"/g)].map((match) =>
    Number(match[1]),
  )
}

describe('cost bar', () => {
  test('names every term with its sum', () => {
    expect(words(<CostBar breakdown={breakdown} currency="EUR" />)).toBe(
      'price €9.00 resin €4.20 plates €1.00 failures €1.05 time for snags €0.60 looks €2.00',
    )
  })

  test('shares one scale with the dearest answer', () => {
    const [price, ...rest] = widths(html(<CostBar breakdown={breakdown} currency="EUR" max="35.70" />))
    expect(price).toBeCloseTo((100 * 9) / 35.7, 1)
    expect(rest).toHaveLength(5)
    expect([price ?? 0, ...rest].reduce((sum, width) => sum + width, 0)).toBeCloseTo(50, 1)
  })

  test('never runs over its edge when the page named too small a maximum', () => {
    const drawn = widths(html(<CostBar breakdown={breakdown} currency="EUR" max="1.00" />))
    expect(drawn.reduce((sum, width) => sum + width, 0)).toBeCloseTo(100, 1)
  })

  test('a file that costs nothing at all draws nothing and still says so', () => {
    const free = { price: '0', resinForGood: '0', plates: '0', failures: '0', snagTime: '0', looks: '0' }
    expect(widths(html(<CostBar breakdown={free} currency="JPY" />))).toEqual([])
    expect(words(<CostBar breakdown={free} currency="JPY" />)).toContain('costs nothing')
  })

  test('what cannot be had has no price, and is drawn without one', () => {
    const gone = <CostBar breakdown={{ ...breakdown, price: null }} currency="EUR" max="35.70" />
    expect(words(gone)).toContain('price not to be had resin €4.20')
    expect(widths(html(gone)).reduce((sum, width) => sum + width, 0)).toBeCloseTo((100 * 8.85) / 35.7, 1)
  })
})

describe('success interval', () => {
  const printSuccess = { mean: 0.91, low: 0.84, high: 0.94, copies: 46.2 }
  const success = { comesOut: { mean: 0.8, low: 0.7, high: 0.88 }, printSuccess }

  test('says first how many come out all in, then the file alone', () => {
    expect(successWords(success)).toBe(
      'About 8 of 10 come out good on a printer in good order; the file alone 84-94 of 100 (counts as 46 copies).',
    )
    expect(successWords({ ...success, on: 'Larder, as it is now' })).toContain('come out good on Larder, as it is now;')
    const one = { ...printSuccess, copies: 1.1 }
    expect(successWords({ ...success, printSuccess: one })).toContain('(counts as 1 copy).')
    const sure = { mean: 0.96, low: 0.957, high: 0.963, copies: 4000 }
    expect(successWords({ ...success, printSuccess: sure })).toContain(
      'the file alone about 96 of 100 (counts as 4000 copies).',
    )
  })

  test.each([
    [0.8, '8 of 10 come out'],
    [0.06, '1 of 10 comes out'],
    [0.96, '96 of 100 come out'],
    [0.999, '99 of 100 come out'],
    [0.004, '1 of 100 comes out'],
  ])('%d: %s', (share, said) => {
    expect(shareWords(share)).toBe(said)
  })

  test('never says all or none of a hundred', () => {
    expect(rangeWords({ mean: 0.99, low: 0.91, high: 0.998 })).toBe('91-99 of 100')
    expect(rangeWords({ mean: 0.5, low: 0.001, high: 0.62 })).toBe('1-62 of 100')
  })

  test('says what it goes by while nobody has reported', () => {
    const guess = { ...success, printSuccess: { ...printSuccess, copies: 0 } }
    expect(successWords({ ...guess, basis: 'sculptor' })).toContain(
      "(no reports yet: going by this sculptor's other files)",
    )
    expect(successWords({ ...guess, basis: 'group' })).toContain('going by what the group prints')
    expect(successWords({ ...guess, basis: 'nothing' })).toBe(
      'Nobody here has printed anything yet. Usually about 8 of 10 come out good on a printer in good order, the file alone 84-94 of 100.',
    )
    const hardly = { ...success, printSuccess: { ...printSuccess, copies: 0.3 } }
    expect(successWords(hardly)).toContain('hardly a copy reported yet')
  })

  test('is drawn on a ruler from 50 to 100, hollow while it is a guess', () => {
    const markup = html(<IntervalMark interval={success.comesOut} isGuess={false} />)
    expect(markup).toContain('class="interval-line" x1="40%" x2="76%"')
    expect(markup).toContain('cx="60%"')
    expect(markup).not.toContain('interval-guess')
    expect(html(<IntervalMark interval={success.comesOut} isGuess />)).toContain('interval-guess')
    const low = html(<IntervalMark interval={{ low: 0.3, mean: 0.44, high: 0.6 }} isGuess={false} />)
    expect(low).toContain('<path class="interval-dot" d="M0 8l9-5v10z"')
    expect(low).not.toContain('<circle')
  })

  test('has what came off beside it, which points out of the ruler where it lies before its begin', () => {
    const counted = (share: number) => html(<CountedMark share={share} />)
    expect(counted(0.75)).toMatch(/<svg x="50%"[^>]*><path d="M0-6/)
    expect(counted(0.5)).toMatch(/<svg x="0%"[^>]*><path d="M0-6/)
    expect(counted(0.49)).toMatch(/<svg x="0%"[^>]*><path d="M-5 0/)
    expect(html(<IntervalMark interval={success.comesOut} isGuess={false} counted={1} />)).toContain('<svg x="100%"')
  })
})

describe('verdict', () => {
  test.each([
    [{ file: 0.2, machine: 0.63, plate: 0.17, likely: 'machine' }, 'Most likely the machine'],
    [{ file: 0.2, machine: 0.63, plate: 0.17, likely: null }, "Perhaps the machine, but it can't be said for sure"],
    [{ file: 0.55, machine: 0.25, plate: 0.2, likely: null }, "Perhaps the file, but it can't be said for sure"],
    [
      { file: 0.2, machine: 0.25, plate: 0.55, likely: null, isHalfEmpty: true },
      "Perhaps the plate, but it can't be said for sure",
    ],
    [{ file: 0.42, machine: 0.4, plate: 0.18, likely: null }, "It can't be told yet: the file or the machine"],
    [
      { file: 0.42, machine: 0.1, plate: 0.48, likely: null },
      "It can't be told yet: the file or how full the plate was",
    ],
  ] as const)('%o: %s', (verdict, said) => {
    expect(verdictWords(verdict)).toBe(said)
  })

  test('says why a large share is not called likely', () => {
    const verdict = { file: 0.05, machine: 0.02, plate: 0.93, likely: null }
    const why = 'In simulated groups, verdicts like this one were right fewer than three times in four'
    expect(words(<VerdictBar verdict={{ ...verdict, isRightTooSeldom: true }} />)).toContain(why)
    expect(words(<VerdictBar verdict={verdict} />)).not.toContain(why)
  })

  test('names the three shares', () => {
    const part = <VerdictBar verdict={{ file: 0.2, machine: 0.63, plate: 0.17, likely: 'machine' }} />
    expect(words(part)).toBe(
      'Most likely the machine the file 20 of 100 the machine 63 of 100 how full the plate was 17 of 100',
    )
  })

  // The quota rule of apportionment by largest remainders: no share is further than one from its exact value.
  test('whole shares add up to 100 and none is off by one', () => {
    const three = fc.tuple(...Array.from({ length: 3 }, () => fc.double({ min: 0.001, max: 1, noNaN: true })))
    fc.assert(
      fc.property(three, (weights) => {
        const total = weights.reduce((sum, weight) => sum + weight, 0)
        const shares = weights.map((weight) => weight / total)
        const whole = outOfHundred(shares)
        expect(whole.reduce((sum, share) => sum + share, 0)).toBe(100)
        for (const [index, share] of shares.entries())
          expect(Math.abs((whole[index] ?? 0) - 100 * share)).toBeLessThan(1)
      }),
    )
  })
})

describe('chart of upkeep periods', () => {
  const periodsOf = (number: number): ChartedPeriod[] =>
    Array.from({ length: number }, (_, month) => ({
      startsOn: `2026-0${month + 1}-10`,
      kinds: ['film changed'],
      success: { mean: 0.9, low: 0.8, high: 0.95, copies: 12 },
    }))
  /** Where the days below the chart stand, from its upper edge. */
  const linesOf = (markup: string) =>
    [...markup.matchAll(/<text class="ruler-words" x="[\d.]+%" y="([\d.]+)"/g)].map(([, y]) => Number(y))

  test('sets the days of many periods on two lines, since side by side they run into each other on a phone', () => {
    const few = linesOf(html(<UpkeepChart periods={periodsOf(4)} />))
    expect(new Set(few).size).toBe(1)
    const many = linesOf(html(<UpkeepChart periods={periodsOf(8)} />))
    expect(many).toHaveLength(8)
    for (const [index, line] of many.entries()) if (index > 0) expect(line).not.toBe(many[index - 1])
    const [, height] = html(<UpkeepChart periods={periodsOf(8)} />).match(/<svg[^>]* height="(\d+)"/) ?? []
    expect(Number(height)).toBeGreaterThan(Math.max(...many))
  })

  test('says how many periods are left out', () => {
    expect(words(<UpkeepChart periods={periodsOf(3)} />)).not.toContain('are drawn')
    expect(words(<UpkeepChart periods={periodsOf(8)} of={13} />)).toContain(
      'The latest 8 of 13 periods are drawn; the table has them all.',
    )
  })
})
