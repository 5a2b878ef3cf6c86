import type { Candidate, Entry, File, Instance, Offer } from '../../server/planning/instance.ts'
import { Random } from '../../server/scoring/random.ts'

export type Size = { entries: number; candidates: number; offers: number; looksWorthMinor: number; seed: number }

/** So many sculptors share the files of a roster. */
const filesOfSculptor = 25

/**
 * An invented roster of any size, always the same for the same seed. Files are drawn with a preference for the first
 * ones, so that some serve several entries. Each file is sold alone for 6 to 15 (a character's file for less resin); the
 * other offers are bundles of 3 to 12 files by one sculptor at 35 to 70 % of what they cost apart, and for each sculptor
 * a month's membership at 8 to 12 that opens a third of their files. One file in fifty is in the archive. Printing an
 * entry takes 0.20 to 0.80 a model; the group's share of yes votes is spread around 0.6.
 */
export function roster(size: Size): Instance {
  const random = new Random(size.seed)
  const between = (low: number, high: number) => low + Math.floor((high - low + 1) * random.uniform())
  const fileCount = Math.max(size.candidates, Math.round(size.offers * 0.8))
  const files: File[] = Array.from({ length: fileCount }, (_, place) => ({
    id: `file ${place}`,
    sculptorId: `sculptor ${Math.floor(place / filesOfSculptor)}`,
    styleTags: [],
  }))
  const entries: Entry[] = []
  const candidates: Candidate[] = []
  for (let place = 0; place < size.entries; place++) {
    const models = random.uniform() < 0.3 ? 1 : between(3, 20)
    const id = `entry ${place}`
    entries.push({ id, models, retailMinor: 600 + models * between(250, 450) })
    const chosen = new Set<number>()
    while (chosen.size < size.candidates) chosen.add(Math.floor(fileCount * random.uniform() ** 1.5))
    for (const file of chosen) {
      const share = Math.min(1, Math.max(0, 0.6 + 0.2 * random.normal()))
      candidates.push({ entryId: id, fileId: `file ${file}`, printMinor: models * between(20, 80), share })
    }
  }
  return {
    entries,
    files,
    candidates,
    offers: offersOf(files, size.offers, random),
    options: { looksWorthMinor: size.looksWorthMinor },
  }
}

function offersOf(files: readonly File[], count: number, random: Random): Offer[] {
  const between = (low: number, high: number) => low + Math.floor((high - low + 1) * random.uniform())
  const offers: Offer[] = files.map(({ id }) => {
    const owned = random.uniform() < 0.02
    return {
      id: `${id} alone`,
      kind: owned ? 'owned' : 'purchase',
      priceMinor: owned ? 0 : between(600, 1500),
      fileIds: [id],
    }
  })
  const bySculptor = [...Map.groupBy(files, ({ sculptorId }) => sculptorId).values()]
  for (const [place, theirs] of bySculptor.entries()) {
    const fileIds = theirs.filter(() => random.uniform() < 1 / 3).map(({ id }) => id)
    offers.push({ id: `membership ${place}`, kind: 'membership', priceMinor: between(800, 1200), fileIds })
  }
  for (let place = 0; offers.length < count; place++) {
    const theirs = bySculptor[Math.floor(bySculptor.length * random.uniform())] ?? []
    const chosen = new Set(
      Array.from({ length: between(3, 12) }, () => theirs[Math.floor(theirs.length * random.uniform())]?.id ?? ''),
    )
    const priceMinor = Math.round(chosen.size * 1050 * (0.35 + 0.35 * random.uniform()))
    offers.push({ id: `bundle ${place}`, kind: 'bundle', priceMinor, fileIds: [...chosen] })
  }
  return offers
}

/** An hour from now: what is to be solved to the end is, on however busy a machine. */
export const inGoodTime = () => performance.now() + 3_600_000
