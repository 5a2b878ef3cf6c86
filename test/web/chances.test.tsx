import { describe, expect, test } from 'vitest'
import { FileChances, type FileChancesProps } from '../../web/pages/FileChances.tsx'
import { words } from './render.tsx'

type Chances = NonNullable<FileChancesProps['chances']>

/** Six copies on one plate, with what fails on average by how full it is. */
function page(failing: Record<Chances['crowding'], number>): string {
  const outlook = (crowding: Chances['crowding']) => {
    const expectedFailures = failing[crowding]
    return { crowding, plates: 1, perPlate: [6], allGood: (1 - expectedFailures / 6) ** 6, expectedFailures }
  }
  const others = [outlook('loose'), outlook('normal'), outlook('packed')]
  const chances = { ...outlook('normal'), copies: 6, kind: 'as supplied', printer: null, others }
  const form = { values: {}, errors: {} }
  return words(<FileChances fileId="one" kinds={['as supplied']} printers={[]} form={form} chances={chances} />)
}

describe('will it print on mine', () => {
  test('says that emptier plates fail less only where the numbers above do', () => {
    expect(page({ loose: 0.4, normal: 0.7, packed: 1.2 })).toContain('it is emptier plates that fail less')
    const upsideDown = page({ loose: 0.8, normal: 0.7, packed: 1.2 })
    expect(upsideDown).not.toContain('it is emptier plates that fail less')
    expect(upsideDown).toContain('with as many failures on average. How that is known')
  })
})
