import type { Generated } from 'kysely'
import type { Crowding, Day, Seen, UpkeepKind, When } from './words.ts'

/** Machines, resins, and what came off the plates. */
export interface PrintingTables {
  printer: {
    id: string
    ownerId: string
    name: string
    plateWidthMm: number
    plateDepthMm: number
    buildHeightMm: number
    layerUm: number
    exposureS: number
    bottomLayers: number
    bottomExposureS: number
    cycleOverheadS: number
    state: Generated<'in use' | 'retired'>
    createdAt: When
    version: Generated<number>
  }
  upkeep: {
    id: string
    printerId: string
    kind: UpkeepKind
    doneOn: Day
    remark: Generated<string>
    createdBy: string
    createdAt: When
    version: Generated<number>
  }
  printerPeriod: { id: string; printerId: string; startsOn: Day | null }
  /** A bottle of a member's; without a size the price is for a kilogram. */
  resin: {
    id: string
    ownerId: string
    name: string
    priceMinor: number
    priceCurrency: string
    bottleG: number | null
    bottleMl: number | null
    gramsPerMl: number
    remark: Generated<string>
    state: Generated<'in use' | 'retired'>
    createdAt: When
    version: Generated<number>
  }
  plate: {
    id: string
    memberId: string
    printerId: string
    printerPeriodId: string
    printedOn: Day
    crowding: Crowding
    /** One of the member's; null for their usual one. */
    resinId: string | null
    remark: Generated<string>
    /** Whether its prints are told; a failed plate may be noted without them at first. */
    told: Generated<boolean>
    createdAt: When
    version: Generated<number>
  }
  print: {
    id: string
    plateId: string
    supportSetId: string
    tried: number
    good: number
    mended: Generated<number>
    mendedMinutes: number | null
  }
  printFailure: { printId: string; seen: Seen; copies: number }
}
