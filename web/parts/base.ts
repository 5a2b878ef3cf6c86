/** A base as the API writes it, in mm. */
export interface Base {
  shape: 'round' | 'oval' | 'rectangle'
  widthMm: number
  lengthMm?: number | null
}

/** "32 mm round", "62 x 38 mm oval"; a multiplication sign between the sides. */
export function baseWords(base: Base | null): string {
  if (base === null) return 'no base given'
  const size = base.lengthMm && base.shape !== 'round' ? `${base.lengthMm} × ${base.widthMm}` : `${base.widthMm}`
  return `${size} mm ${base.shape === 'rectangle' ? 'rectangular' : base.shape}`
}

/** A base as far as its fit goes. */
type Sides = Pick<Base, 'shape' | 'widthMm' | 'lengthMm'>

const shapeWords = { round: 'round', oval: 'oval', rectangle: 'rectangular' }

/**
 * Where a file's base differs from the unit's: "2 mm too small", "5 mm too long and 3 mm too narrow", "oval, not round".
 *
 * @returns nothing to say (null) where they are alike, or where one of them is not known
 */
export function baseMisfit(own: Sides | null, wanted: Sides | null): string | null {
  if (!own || !wanted) return null
  if (own.shape !== wanted.shape) return `${shapeWords[own.shape]}, not ${shapeWords[wanted.shape]}`
  if (own.shape === 'round') return differs(own.widthMm - wanted.widthMm, 'large', 'small')
  const [one, other] = [sidesOf(own), sidesOf(wanted)]
  const words = [
    differs(one.long - other.long, 'long', 'short'),
    differs(one.short - other.short, 'wide', 'narrow'),
  ].filter((word) => word !== null)
  return words.length === 0 ? null : words.join(' and ')
}

function sidesOf({ widthMm, lengthMm }: Sides) {
  const other = lengthMm ?? widthMm
  return { long: Math.max(widthMm, other), short: Math.min(widthMm, other) }
}

/** Tenths of a millimetre are what bases are told in. */
function differs(mm: number, more: string, less: string): string | null {
  const tenths = Math.round(mm * 10)
  return tenths === 0 ? null : `${Math.abs(tenths) / 10} mm too ${tenths > 0 ? more : less}`
}

interface Size {
  scaleMm: number | null
  base: Base | null
  modelsPerUnit: number | null
}

/** "28 mm, on 25 mm round bases, 10 in a box", as far as it is known. */
export function unitWords({ scaleMm, base, modelsPerUnit }: Size): string {
  return [
    ...(scaleMm === null ? [] : [`${scaleMm} mm`]),
    ...(base ? [`on ${baseWords(base)} bases`] : []),
    ...(modelsPerUnit === null ? [] : [modelsPerUnit === 1 ? 'one in a box' : `${modelsPerUnit} in a box`]),
  ].join(', ')
}
