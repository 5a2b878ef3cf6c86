import type { Generated } from 'kysely'
import type { SupportKind, When } from './words.ts'

/** What the last fit made of the plates. */
export interface EvidenceTables {
  /** `fit` here and below: the number of the fit that the row belongs to; only those of `scoringFit.fit` count. */
  lineDraws: {
    fileId: string
    kind: SupportKind
    fit: number
    draws: Buffer
    mean: number
    low: number
    high: number
    copies: number
  }
  sculptorDraws: { sculptorId: string; kind: SupportKind; fit: number; draws: Buffer }
  periodDraws: { periodId: string; fit: number; draws: Buffer; worn: number }
  plateWear: { plateId: string; fit: number; worn: number }
  printBlame: { printId: string; fit: number; file: number; machine: number }
  fitMark: { id: string; plateId: string | null; createdAt: When }
  scoringFit: {
    onlyRow: Generated<boolean>
    attempt: Generated<number>
    fit: Generated<number>
    groupDraws: Buffer | null
    sweeps: Generated<number>
    rhat: number | null
    effectiveSize: number | null
    plates: Generated<number>
    ms: Generated<number>
    fittedAt: When | null
  }
}
