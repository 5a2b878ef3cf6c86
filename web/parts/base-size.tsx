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
