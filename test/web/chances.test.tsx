import { describe, expect, test } from 'vitest'
import { FileChances, type FileChancesProps } from '../../web/pages/FileChances.tsx'
import { toPrintWords } from '../../web/parts/chances-words.ts'
import { words } from './render.tsx'

type Chances = NonNullable<FileChancesProps['chances']>

const copy = { xMm: 0, yMm: 0, widthMm: 25, depthMm: 25, round: true }

/** Six copies on one plate and on two, with what fails on average and what it costs. */
function page(failing: readonly [number, number], costs = ['9.00', '8.00']): string {
  const outlook = (plates: 1 | 2) => {
    const expectedFailures = failing[plates - 1] ?? 0
    return {
      crowding: plates === 1 ? ('about full' as const) : ('half empty' as const),
      plates,
      perPlate: plates === 1 ? [6] : [3, 3],
      allGood: (1 - expectedFailures / 6) ** 6,
      expectedFailures,
      toPrint: 8,
      workedOut: true,
      layers: 900,
      hours: 4.25 * plates,
      resinMl: 48,
      resinG: 53,
      cost: { amount: costs[plates - 1] ?? '', currency: 'EUR' },
      packed: Array.from({ length: 6 / plates }, () => copy),
    }
  }
  const others = [outlook(1), outlook(2)]
  const on = { copies: 6, kind: 'as supplied', printer: null, plateMm: [143, 89] as const, assumed: false }
  const chances: Chances = { ...outlook(1), ...on, others }
  const form = { values: {}, errors: {} }
  return words(
    <FileChances unit={null} fileId="one" kinds={['as supplied']} printers={[]} form={form} chances={chances} />,
  )
}

describe('will it print on mine', () => {
  test('says that emptier plates fail less only where the numbers above do', () => {
    expect(page([0.7, 0.4])).toContain('it is emptier plates that fail less')
    const upsideDown = page([0.7, 0.8])
    expect(upsideDown).not.toContain('it is emptier plates that fail less')
    expect(upsideDown).toContain('though as many fail on average. How that is known')
  })

  test('says how many to print, and on which machine it counts', () => {
    const said = page([0.7, 0.4])
    expect(said).toContain('All 6 copies on one plate that is about full come out good in ')
    expect(said).toContain('To have 6 good ones in 9 cases out of 10, print 8.')
    expect(said).toContain('On a machine in good order, as after upkeep')
    expect(toPrintWords({ copies: 1, toPrint: 1 })).toBe(
      'In 9 cases out of 10 no more have to be printed to have a good one.',
    )
  })

  test('says the cheapest way first, with what it takes more than the one on fewest plates', () => {
    const said = page([0.7, 0.4])
    expect(said).toContain('Cheapest: 3 + 3 on two plates, one plate more, 4 ¼ h longer.')
    expect(said).toContain('48 ml of resin ( 53 g), 900 layers a plate'.replace('( ', '('))
    expect(page([0.7, 0.4], ['7.00', '8.00'])).toContain('Cheapest: 6 on one plate.')
  })
})
