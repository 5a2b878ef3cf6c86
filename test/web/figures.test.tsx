import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CostBar } from '../../web/parts/cost-bar.tsx'
import { SuccessInterval, successWords } from '../../web/parts/success-interval.tsx'
import { type ChartedPeriod, UpkeepChart } from '../../web/parts/upkeep-chart.tsx'
import { outOfHundred, VerdictBar, verdictWords } from '../../web/parts/verdict-bar.tsx'
import { html, words } from './render.tsx'

const breakdown = { price: '9.00', resinForGood: '4.20', failures: '1.05', snagTime: '0.60', looks: '2.00' }

function widths(markup: string): number[] {
  return [...markup.matchAll(/class="bar-piece" x="[\d.]+%" y="1" width="([\d.]+)%"/g)].map((match) => Number(match[1]))
}

describe('cost bar', () => {
  test('names every term with its sum', () => {
    expect(words(<CostBar breakdown={breakdown} currency="EUR" />)).toBe(
      'price €9.00 resin €4.20 expected failures €1.05 time for snags €0.60 looks €2.00',
    )
  })

  test('shares one scale with the dearest answer', () => {
    const [price, ...rest] = widths(html(<CostBar breakdown={breakdown} currency="EUR" max="33.70" />))
    expect(price).toBeCloseTo((100 * 9) / 33.7, 1)
    expect(rest).toHaveLength(4)
    expect([price ?? 0, ...rest].reduce((sum, width) => sum + width, 0)).toBeCloseTo(50, 1)
  })

  test('never runs over its edge when the page named too small a maximum', () => {
    const drawn = widths(html(<CostBar breakdown={breakdown} currency="EUR" max="1.00" />))
    expect(drawn.reduce((sum, width) => sum + width, 0)).toBeCloseTo(100, 1)
  })

  test('a file that costs nothing at all draws nothing and still says so', () => {
    const free = { price: '0', resinForGood: '0', failures: '0', snagTime: '0', looks: '0' }
    expect(widths(html(<CostBar breakdown={free} currency="JPY" />))).toEqual([])
    expect(words(<CostBar breakdown={free} currency="JPY" legend="none" />)).toContain('price JP¥0')
  })
})

describe('success interval', () => {
  const success = { mean: 0.91, low: 0.84, high: 0.96, copies: 46.2 }

  test('is understood without statistics', () => {
    expect(successWords(success)).toBe('46 copies: between 84 and 96 of 100 come out good')
    expect(successWords({ ...success, copies: 1.1 })).toBe('1 copy: between 84 and 96 of 100 come out good')
    expect(successWords({ mean: 0.96, low: 0.957, high: 0.963, copies: 4000 })).toBe(
      '4000 copies: about 96 of 100 come out good',
    )
  })

  test('says what it goes by while nobody has reported', () => {
    const guess = { ...success, low: 0.7, high: 0.95, copies: 0 }
    expect(successWords(guess, 'sculptor')).toBe(
      "No reports yet; going by this sculptor's other files: between 70 and 95 of 100 come out good",
    )
    expect(successWords(guess, 'group')).toContain("going by the group's files")
    expect(successWords({ ...guess, copies: 0.3 })).toContain('Hardly a copy reported yet')
    expect(html(<SuccessInterval success={guess} />)).toContain('interval-guess')
  })

  test('draws what it says, and adds the doubt', () => {
    const markup = html(<SuccessInterval success={success} doubt="Can't tell the file from that printer yet." />)
    expect(markup).toContain('class="interval-line" x1="84%" x2="96%"')
    expect(markup).toContain('cx="91%"')
    expect(markup).toContain("Can't tell the file from that printer yet.")
  })
})

describe('verdict', () => {
  test.each([
    [{ file: 0.2, machine: 0.63, plate: 0.17 }, 'Most likely the machine'],
    [{ file: 0.55, machine: 0.25, plate: 0.2 }, "Perhaps the file, but it can't be said for sure"],
    [{ file: 0.42, machine: 0.4, plate: 0.18 }, "It can't be told yet: the file or the machine"],
  ])('%o: %s', (verdict, said) => {
    expect(verdictWords(verdict)).toBe(said)
  })

  test('names the three shares and what to do', () => {
    const part = <VerdictBar verdict={{ file: 0.2, machine: 0.63, plate: 0.17 }} advice={['Look at the film.']} />
    expect(words(part)).toBe(
      'Most likely the machine the file 20 of 100 the machine 63 of 100 how full the plate was 17 of 100 Look at the film.',
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
    const few = linesOf(html(<UpkeepChart id="few" periods={periodsOf(4)} />))
    expect(new Set(few).size).toBe(1)
    const many = linesOf(html(<UpkeepChart id="many" periods={periodsOf(8)} />))
    expect(many).toHaveLength(8)
    for (const [index, line] of many.entries()) if (index > 0) expect(line).not.toBe(many[index - 1])
    const [, height] = html(<UpkeepChart id="many" periods={periodsOf(8)} />).match(/<svg[^>]* height="(\d+)"/) ?? []
    expect(Number(height)).toBeGreaterThan(Math.max(...many))
  })

  test('says how many periods are left out', () => {
    expect(words(<UpkeepChart id="all" periods={periodsOf(3)} />)).not.toContain('are drawn')
    expect(words(<UpkeepChart id="some" periods={periodsOf(8)} of={13} />)).toContain(
      'The latest 8 of 13 periods are drawn; the table has them all.',
    )
  })
})
