/** A plate in the drawing of a printer's film. */
export interface FilmPlate {
  id: string
  printedOn: string
  tried: number
  good: number
  /** Chance that film or level was worn on it; null while it is not counted. */
  worn: number | null
  /** What was done to the printer just before it. */
  upkeep?: string[] | undefined
}
