import { z } from 'zod'
import { described, keyIn, maybe, story } from '../described.ts'
import { members } from '../members.ts'
import { sculptors } from '../sculptors.ts'
import { base, units } from '../units.ts'
import ebbYears from './ebb-years.json' with { type: 'json' }
import kilnfall from './kilnfall.json' with { type: 'json' }
import later from './later.json' with { type: 'json' }

const chance = z.number().min(0).max(1)

/** A revision with the kinds of support that it has. */
const revision = z.strictObject({
  label: z.string(),
  ago: z.int().describe('days since it came out'),
  // Hidden: chances that a copy does not fail by the file's fault.
  supplied: maybe(chance).describe('with the supports as supplied'),
  extra: maybe(chance).describe('with some that a member added'),
  own: maybe(chance).describe("with a member's own"),
})

/** A file as the demo describes it; what is hidden here, its members find out by printing and voting. */
const shape = z.strictObject({
  story,
  about: z.strictObject({
    title: z.string(),
    sculptor: keyIn(sculptors),
    units: z.array(keyIn(units)).describe('what it stands in for'),
    price: maybe(z.int()).describe(
      "in minor units of the sculptor's currency; left out where it can't be bought alone",
    ),
    looks: chance.describe('Hidden: share of members who would field it.'),
  }),
  model: z.strictObject({
    heightMm: z.number().describe('as printed, supports included'),
    resinMl: z.number().describe('for one copy, supports included'),
    options: maybe(z.array(z.string())),
    styleTags: z.array(z.string()),
    scaleMm: maybe(z.number()).describe("where it is not the unit's"),
    base: maybe(base.nullable()).describe("where it is not the unit's"),
    remark: maybe(z.string()),
  }),
  revisions: z.array(revision),
  printed: maybe(z.number()).describe('How often next to others (1): 0 by nobody yet, 3 and more by all who may.'),
  heldBy: maybe(z.array(keyIn(members))).describe('The only members who have it.'),
})

export type DemoRevision = z.infer<typeof revision>
export const files = described(shape, { ...ebbYears, ...kilnfall, ...later })
