import type { Random } from '../../server/scoring/random.ts'

/** A film of its own life: good, then fading over ten to twenty plates, then as bad as it gets. */
export type Film = {
  /** plates that it has seen */
  age: number
  /** age at which it begins to fade, and how many plates that takes */
  life: number
  fade: number
  /** what is left of a machine's success at its worst */
  worst: number
}

/** @param life plates in the middle of all films */
export function newFilm(life: number, random: Random, age = 0): Film {
  return {
    age,
    life: Math.round(life * Math.exp(0.45 * random.normal())),
    fade: 10 + Math.floor(11 * random.uniform()),
    worst: 0.3 + 0.45 * random.uniform(),
  }
}

/** Share of the copies that the film itself leaves good on its next plate. */
export function successOfFilm({ age, life, fade, worst }: Film): number {
  const faded = Math.min(1, Math.max(0, (age - life) / fade))
  return 1 - faded * (1 - worst)
}
