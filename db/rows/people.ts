import type { Generated, JSONColumnType } from 'kysely'
import type { Crowding, Day, Role, When } from './words.ts'

/** Members, how they get in, and what the group agreed on. */
export interface PeopleTables {
  member: {
    id: string
    name: string
    email: string
    passwordHash: string
    role: Role
    state: Generated<'active' | 'left'>
    defaultPrinterId: string | null
    defaultResinId: string | null
    defaultCrowding: Generated<Crowding>
    createdAt: When
    version: Generated<number>
  }
  groupSettings: {
    onlyRow: Generated<boolean>
    name: string
    currency: string
    /** BCP 47 tag for numbers and money. */
    locale: Generated<string>
    /** IANA name; tells which day it is for the group. */
    timeZone: Generated<string>
    looksWorthMinor: number
    resinGramsPerMl: Generated<number>
    resinPricePerKgMinor: number
    resinMlPerModel: Generated<number>
    cleanUpMinor: number
    cleanUpPerPlateMinor: number
    perPlateMinor: number
    timePerHourMinor: Generated<number>
    isDemo: Generated<boolean>
    createdAt: When
    version: Generated<number>
  }
  setupCode: { codeHash: string }
  rate: { currency: string; seenOn: Day; worth: number }
  session: {
    idHash: string
    /** What the member knows it by; the secret one is in the browser alone. */
    id: string
    memberId: string
    createdAt: When
    expiresAt: When
    /** Network address that signed in; null where nobody noted it. */
    place: string | null
    /** In words, such as "Firefox on Linux". */
    browser: string | null
    /** When it was last used, to the hour. */
    seenAt: When
  }
  invitation: {
    id: string
    codeHash: string
    role: 'member' | 'steward'
    usesLeft: number
    expiresAt: When
    /** Whom it is for. */
    note: Generated<string>
    createdBy: string
    createdAt: When
    withdrawnAt: When | null
  }
  wayBack: { memberId: string; codeHash: string; expiresAt: When }
  attempt: { key: string; windowStart: When; tries: number }
  answeredPost: {
    memberId: string
    key: string
    route: string
    bodyHash: string
    status: number | null
    headers: JSONColumnType<Record<string, string>> | null
    body: JSONColumnType<object> | null
    createdAt: When
  }
}
