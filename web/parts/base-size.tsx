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

/** The base of a file or unit. @param wanted the unit's base, to say in words where the file's differs from it */
export function BaseSize({ base, wanted }: { base: Base | null; wanted?: Base | null }) {
  const differs = base !== null && wanted && baseWords(base) !== baseWords(wanted)
  return (
    <span class="base-size">
      {baseWords(base)}
      {differs && <span class="quiet"> (the unit stands on {baseWords(wanted)})</span>}
    </span>
  )
}
