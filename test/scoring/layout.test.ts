import { expect, test } from 'vitest'
import { seen, seenLabels } from '../../server/scoring/labels.ts'
import { layOut as layOutColumns, PlateColumns } from '../../server/scoring/layout.ts'
import { crowdings } from '../../server/scoring/model.ts'
import type { Plate, Print } from '../../server/scoring/plates.ts'
import { Random } from '../../server/scoring/random.ts'

const labels = Object.keys(seenLabels)
const layOut = (plates: readonly Plate[], every?: number) => layOutColumns(new PlateColumns(labels, plates), every)
const random = new Random(3)
const below = (count: number) => Math.floor(count * random.uniform())
const pick = <Item>(items: readonly Item[]) => items[below(items.length)] as Item

function print(): Print {
  const line = below(60)
  return {
    id: `print ${below(1e9)}`,
    line: `line ${line}`,
    sculptor: `sculptor ${line % 7}`,
    good: below(6),
    fileWeight: pick([1, 0.5, 0.2]),
    failures: Array.from({ length: below(3) }, () => ({ seen: pick(seen), copies: 1 + below(3) })),
  }
}

const plates = Array.from(
  { length: 500 },
  (): Plate => ({
    id: `plate ${below(1e9)}`,
    period: `period ${below(30)}`,
    crowding: pick(crowdings),
    day: below(20),
    prints: Array.from({ length: 1 + below(3) }, print),
  }),
)

test('the order in which plates come does not matter', () => {
  expect(layOut(plates.toReversed())).toEqual(layOut(plates))
})

test('a part is laid out as if there were no other plates: every third period with all of its own', () => {
  const periods = [...new Set(plates.map(({ period }) => period))].sort()
  const chosen = periods.filter((_, index) => index % 3 === 0)
  const alone = layOut(plates.filter(({ period }) => chosen.includes(period)))
  expect(alone.periods).toEqual(chosen)
  expect(layOut(plates, 3)).toEqual(alone)
})

test('everything stands where its plate does', () => {
  const layout = layOut(plates)
  const plateOf = new Map(plates.map((plate) => [plate.id, plate]))
  layout.plateIds.forEach((id, index) => {
    const { prints = [], crowding } = plateOf.get(id) ?? {}
    const from = layout.plateStart[index] ?? 0
    expect(crowdings[layout.crowding[index] ?? 3]).toBe(crowding)
    expect(prints.map(({ line }) => line)).toEqual(
      prints.map((_, print) => layout.lines[layout.line[from + print] ?? -1]),
    )
    prints.forEach(({ id: printId = '', good, failures, fileWeight = 1 }, print) => {
      const copies = failures.flatMap((failure) => Array<string>(failure.copies).fill(failure.seen))
      const [start = 0, end = 0] = layout.printStart.subarray(from + print, from + print + 2)
      expect(Array.from(layout.seen.subarray(start, end), (label) => labels[label] ?? "don't know")).toEqual(copies)
      expect(layout.printTried[from + print]).toBe(good + copies.length)
      expect(layout.printIds[from + print]).toBe(copies.length > 0 ? printId : '')
      expect(layout.fileWeight[from + print]).toBe(fileWeight)
    })
  })
})

test('what makes no sense is refused', () => {
  const plate = (over: Partial<Print>, rest: Partial<Plate> = {}): Plate => ({
    id: 'p',
    period: 'm',
    crowding: 'packed',
    day: 1,
    prints: [{ line: 'l', sculptor: 's', good: 1, failures: [], ...over }],
    ...rest,
  })
  expect(() => layOut([plate({ good: -1 })])).toThrow('whole numbers')
  expect(() => layOut([plate({ good: 0.5 })])).toThrow('whole numbers')
  expect(() => layOut([plate({ failures: [{ seen: 'bad luck', copies: 1 }] })])).toThrow('bad luck')
  expect(() => layOut([plate({ fileWeight: 0 })])).toThrow('weight')
  expect(() => layOut([plate({ fileWeight: 1.1 })])).toThrow('weight')
  expect(() => layOut([plate({}), plate({ sculptor: 't' })])).toThrow("two sculptors'")
  expect(() => layOut([plate({}, { crowding: 'loose' as 'packed' })])).toThrow('loose')
})
