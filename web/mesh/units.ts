/** What a unit of length is in mm. An inch is 25.4 mm exactly (international yard and pound agreement, 1959). */
export const unitMm = { mm: 1, cm: 10, inch: 25.4, m: 1000 }

export type Unit = keyof typeof unitMm

/** Whether a file says itself which unit it is in, as 3MF does; STL and OBJ have numbers only. */
export const saysItsUnit = (fileName: string): boolean => /\.3mf$/i.test(fileName)

/** A figure's height to its scale: a rider's bits are a fraction of it, a giant some times as much. Common practice, no source. */
const leastOfScale = 0.2
const mostOfScale = 12

/**
 * A unit in which a file would fit the scale of its unit, where it doesn't in the one chosen.
 *
 * @param largestMm the largest of width, depth and height as measured, mm
 * @param chosen unit that it was measured in
 * @param scaleMm scale that the figure is made for, such as 28 or 32 mm
 * @returns the unit that fits best and what the largest size would be in it; null when the chosen one fits, or none does
 */
export function betterUnit(largestMm: number, chosen: Unit, scaleMm: number): { unit: Unit; largestMm: number } | null {
  if (fits(largestMm, scaleMm)) return null
  const others = (Object.keys(unitMm) as Unit[])
    .filter((unit) => unit !== chosen)
    .map((unit) => ({ unit, largestMm: (largestMm / unitMm[chosen]) * unitMm[unit] }))
    .filter((other) => fits(other.largestMm, scaleMm))
  return others.toSorted((one, other) => off(one.largestMm, scaleMm) - off(other.largestMm, scaleMm))[0] ?? null
}

/** Whether a size is a likely one for a figure of a scale. @param largestMm the largest of width, depth and height, mm */
export const fits = (largestMm: number, scaleMm: number): boolean =>
  largestMm >= leastOfScale * scaleMm && largestMm <= mostOfScale * scaleMm

const off = (sizeMm: number, scaleMm: number): number => Math.abs(Math.log(sizeMm / scaleMm))
