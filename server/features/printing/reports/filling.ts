import type { PlateCrowdingProps } from '../../../../web/pages/EditPlate.tsx'
import { baseWords } from '../../../../web/parts/base.ts'
import type { PlateRoom } from '../../../../web/parts/filling.ts'
import { copiesOnPlate, filledPlate } from '../../../planning/plate.ts'
import type { Plate } from '../../../planning/printing.ts'
import type { KnownFoot } from '../plates/crowding.ts'

interface Printer extends Plate {
  id: string
  name: string
}

/**
 * What the form of a plate can say of how full it is.
 *
 * @param feet what a copy of each print covers; null where nobody knows
 */
export function fillingOf(feet: readonly (KnownFoot | null)[], printers: readonly Printer[]): PlateCrowdingProps {
  const [first, ...others] = feet
  const isAlone = first !== undefined && others.length === 0
  if (!isAlone) return { isKnown: feet.every((known) => known !== null), filling: null }
  const on = first === null ? [] : printers.flatMap((printer) => roomOn(first, printer) ?? [])
  // What fits on none of them stood on the plate in some other way than is known.
  if (first === null || on.length === 0) return { isKnown: false, filling: null }
  return { isKnown: true, filling: { by: wordsOf(first), on } }
}

function roomOn({ foot }: KnownFoot, { id, name, ...plate }: Printer): PlateRoom | undefined {
  const one = filledPlate([foot], plate)
  if (!one) return undefined
  // One always counts, however full that is.
  const upTo = (crowding: 'half empty' | 'about full', isSo: boolean) =>
    isSo ? copiesOnPlate(foot, plate, crowding) : 0
  return {
    printerId: id,
    printer: name,
    halfEmpty: upTo('half empty', one.crowding === 'half empty'),
    aboutFull: upTo('about full', one.crowding !== 'packed'),
    most: copiesOnPlate(foot, plate, 'packed'),
  }
}

const mm = (length: number) => Math.round(10 * length) / 10

function wordsOf({ foot: { base }, isMeasured }: KnownFoot): string {
  if (!isMeasured) return `a base of ${baseWords(base)}`
  return `${mm(base.widthMm)} × ${mm(base.lengthMm ?? base.widthMm)} mm a copy, as measured`
}
