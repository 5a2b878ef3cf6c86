import { inventAsAssumed } from './assumed-world.ts'
import type { Setting } from './judge.ts'
import { invent } from './world.ts'
import { sizes, usual } from './world-options.ts'

const groups = [60, 60, 40, 16, 6]

/** Groups that are not drawn from the model, by the share of what is seen that is noted blindly and by size. */
export const invented: readonly Setting[] = [0.15, 0.35].flatMap((blind) =>
  sizes.map((size, at) => ({
    name: `${size.reports} reports, ${100 * blind} % blind`,
    reports: size.reports,
    isAssumed: false,
    groups: groups[at] ?? 1,
    invent: (random) => invent({ ...usual, ...size, blind }, random),
  })),
)

/** Groups of which everything that the model assumes is true. */
export const assumed: readonly Setting[] = sizes.slice(1, 4).map((size, at) => ({
  name: `${size.reports} reports, as assumed`,
  reports: size.reports,
  isAssumed: true,
  groups: [40, 40, 16][at] ?? 1,
  invent: (random) => inventAsAssumed(size, random),
}))
