/**
 * Volume of a figure that is printed larger or smaller than it was made: it goes with the cube of the scale.
 *
 * @param volumeMl of the figure as it is, ml, >= 0
 * @param fromMm scale that it was made for, mm, > 0
 * @param toMm scale that it is printed at, mm, > 0
 * @returns ml
 * @throws RangeError when a scale is not a positive number
 */
export function resized(volumeMl: number, fromMm: number, toMm: number): number {
  if (!(fromMm > 0 && toMm > 0)) throw new RangeError(`no scales: ${fromMm} and ${toMm} mm`)
  return volumeMl * (toMm / fromMm) ** 3
}
