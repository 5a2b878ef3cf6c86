import type { ColumnType, Generated, JSONColumnType } from 'kysely'
import type { Day, RetailPer, When } from './words.ts'

/** Armies, their plans, and what was spent. */
export interface RosterTables {
  roster: {
    id: string
    ownerId: string
    name: string
    /** Whether the other members may read and copy it; not before its owner says so. */
    shared: Generated<boolean>
    /** Counts the changes of its entries, which a plan depends on. */
    listVersion: Generated<number>
    createdAt: When
    version: Generated<number>
  }
  rosterEntry: {
    id: string
    rosterId: string
    place: number
    /** As pasted or typed. */
    words: string
    unitId: string | null
    models: number
    retailPriceMinor: number | null
    retailPriceCurrency: string | null
    retailPer: Generated<RetailPer>
    /** Of its printed models. */
    built: Generated<number>
    /** Of those that are built. */
    painted: Generated<number>
  }
  /** The last plan of a roster; its JSON is described in server/features/rosters/plan/stored.ts. */
  rosterPlan: {
    rosterId: string
    id: string
    listVersion: number
    state: 'running' | 'done'
    asked: JSONColumnType<object>
    instance: JSONColumnType<object>
    outcome: JSONColumnType<object>
    progress: ColumnType<object | null, string | null | undefined, string | null>
    alternatives: ColumnType<object, string | undefined, string>
    stopAsked: Generated<boolean>
    startedAt: When
    heartbeatAt: When
    endedAt: When | null
  }
  rosterPurchase: {
    id: string
    memberId: string
    rosterId: string | null
    offerId: string
    isMembership: boolean
    paidMinor: number
    paidCurrency: string
    boughtOn: Day
    createdAt: When
  }
  rosterPrint: { printId: string; entryId: string }
  rosterSpendLine: {
    id: string
    rosterId: string
    words: string
    spentOn: Day
    amountMinor: number
    amountCurrency: string
    /** Another's share that was paid to the member: it is taken off. */
    cameIn: Generated<boolean>
    createdAt: When
  }
}
