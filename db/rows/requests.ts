import type { Generated } from 'kysely'
import type { Day, When } from './words.ts'

/** Who looks for what, and what answers it. */
export interface RequestTables {
  request: {
    id: string
    askerId: string
    unitId: string
    wanted: number
    mustHaves: Generated<string[]>
    budgetMinor: number | null
    budgetCurrency: string | null
    neededBy: Day | null
    remark: Generated<string>
    state: Generated<'open' | 'settled' | 'withdrawn'>
    settledFileId: string | null
    closedAt: When | null
    createdAt: When
    version: Generated<number>
  }
  proposal: {
    id: string
    requestId: string
    fileId: string
    proposerId: string
    covers: Generated<string[]>
    remark: Generated<string>
    createdAt: When
  }
  /** All votes, counted by the database. */
  voteCount: { onlyRow: Generated<boolean>; yes: number; no: number }
  vote: { proposalId: string; memberId: string; wouldField: boolean; createdAt: When }
}
