import type { MemberKey } from '../members.ts'
import type { SculptorKey } from '../sculptors.ts'
import type { Base, UnitKey } from '../units.ts'

/** A file as the demo describes it; what is hidden here, its members find out by printing and voting. */
export interface DemoFile {
  about: {
    title: string
    sculptor: SculptorKey
    /** what it stands in for */
    units: readonly UnitKey[]
    /** in minor units of the sculptor's currency; left out where it can't be bought by itself */
    price?: number
    /** Hidden: share of members who would field it. */
    looks: number
  }
  model: {
    /** as printed, supports included */
    heightMm: number
    /** for one copy, supports included */
    resinMl: number
    options?: readonly string[]
    styleTags: readonly string[]
    /** where they are not the unit's */
    scaleMm?: number
    base?: Base | null
    remark?: string
  }
  revisions: readonly DemoRevision[]
  /** How often it is printed next to others (1): 0 by nobody yet, 3 and more by all who may. */
  printed?: number
  /** The only members who have it. */
  heldBy?: readonly MemberKey[]
}

/** A revision with the kinds of support that it has. */
export interface DemoRevision {
  label: string
  /** days since it came out */
  ago: number
  /** Hidden: chance that a copy does not fail by the file's fault, with the supports as supplied … */
  supplied?: number
  /** … with some that a member added … */
  extra?: number
  /** … and with a member's own. */
  own?: number
}
