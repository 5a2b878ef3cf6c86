import { type Base, baseWords } from './base-size.tsx'

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
