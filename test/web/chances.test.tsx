import { describe, expect, test } from 'vitest'
import { FileChances, type FileChancesProps, toPrintWords } from '../../web/pages/FileChances.tsx'
import { words } from './render.tsx'

type Chances = NonNullable<FileChancesProps['chances']>

/** Six copies on one plate, with what fails on average by how full it is. */
function page(failing: Record<Chances['crowding'], number>): string {
  const outlook = (crowding: Chances['crowding']) => {
    const expectedFailures = failing[crowding]
    return {
      crowding,
      plates: 1,
      perPlate: [6],
      allGood: (1 - expectedFailures / 6) ** 6,
      expectedFailures,
      toPrint: 8,
    }
  }
  const others = [outlook('half empty'), outlook('about full'), outlook('packed')]
  const chances = { ...outlook('about full'), copies: 6, kind: 'as supplied', printer: null, others }
  const form = { values: {}, errors: {} }
  return words(<FileChances fileId="one" kinds={['as supplied']} printers={[]} form={form} chances={chances} />)
}

describe('will it print on mine', () => {
  test('says that emptier plates fail less only where the numbers above do', () => {
    expect(page({ 'half empty': 0.4, 'about full': 0.7, packed: 1.2 })).toContain('it is emptier plates that fail less')
    const upsideDown = page({ 'half empty': 0.8, 'about full': 0.7, packed: 1.2 })
    expect(upsideDown).not.toContain('it is emptier plates that fail less')
    expect(upsideDown).toContain('with as many failures on average. How that is known')
  })

  test('says how many to print, and on which machine it counts', () => {
    const said = page({ 'half empty': 0.4, 'about full': 0.7, packed: 1.2 })
    expect(said).toContain('All 6 copies on one plate that is about full come out good in ')
    expect(said).toContain('To have 6 good ones in 9 cases of 10, print 8.')
    expect(said).toContain('On a machine in good order, as after upkeep')
    expect(toPrintWords({ copies: 1, toPrint: 1 })).toBe(
      'In 9 cases of 10 no more have to be printed to have a good one.',
    )
  })
})
