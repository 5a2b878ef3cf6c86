import { describe, expect, test } from 'vitest'
import { convergenceOf } from '../../server/scoring/convergence.ts'
import { referenceJson } from './reference.ts'

/** Chains that convergence.R makes in the same way, and what the R package posterior 1.4.0 says of them. */
type Case = {
  name: string
  seed: number
  draws: number
  phi: number
  shift: number[]
  scale: number[]
  kind: 'plain' | 'exp' | 'grid'
} & Record<'first' | 'sum' | 'rhat' | 'essBulk', number>

const cases = referenceJson<Case[]>('convergence.json')

function chainsOf({ seed, draws, phi, shift, scale, kind }: Case): Float64Array[] {
  let state = seed
  const uniform = () => {
    state = (16807 * state) % 2147483647
    return state / 2147483647
  }
  const noise = () => Array.from({ length: 12 }, uniform).reduce((sum, value) => sum + value, 0) - 6
  return shift.map((from, chain) => {
    let x = 0
    return Float64Array.from({ length: draws }, () => {
      x = phi * x + noise()
      const value = from + (scale[chain] ?? Number.NaN) * x
      if (kind === 'exp') return Math.exp(value)
      return kind === 'grid' ? Math.floor(value) : value
    })
  })
}

describe('R-hat and effective size, as the R package posterior has them', () => {
  test.each(cases.map((one) => [one.name, one] as const))('%s', (_, one) => {
    const chains = chainsOf(one)
    expect(chains[0]?.[0]).toBeCloseTo(one.first, 10)
    expect(chains.flatMap((chain) => [...chain]).reduce((sum, value) => sum + value, 0) / one.sum).toBeCloseTo(1, 9)
    const { rhat, effectiveSize } = convergenceOf(chains)
    // The normal quantiles of the ranks are a rational approximation, good to 4.5e-4.
    expect(rhat).toBeCloseTo(one.rhat, 3)
    expect(Math.abs(effectiveSize / one.essBulk - 1)).toBeLessThan(0.005)
  })

  test('all cases of the file are there', () => {
    expect(cases).toHaveLength(8)
  })
})

test('what never moves has nothing to agree on', () => {
  const still = new Float64Array(100).fill(0.3)
  expect(convergenceOf([still, still])).toEqual({ rhat: 1, effectiveSize: 200 })
})

test('chains that stand still in different places do not agree, by a number that can be shown', () => {
  const [one, other] = [new Float64Array(100).fill(0.3), new Float64Array(100).fill(0.4)]
  const { rhat, effectiveSize } = convergenceOf([one, other])
  expect(rhat).toBe(100)
  expect(effectiveSize).toBeLessThan(5)
})

test('a chain that goes to and fro all the time is worth many draws, never a negative number', () => {
  const chain = Float64Array.from({ length: 200 }, (_, draw) => (draw % 2 === 0 ? 1 : -1) * (1 + (draw % 7) / 100))
  expect(convergenceOf([chain, chain]).effectiveSize).toBeCloseTo(400 * Math.log10(400), 6)
})
