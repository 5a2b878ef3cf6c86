import type { ColumnType, Generated } from 'kysely'
import type { Crowding, Day, Seen, UpkeepKind, When } from './words.ts'

/** What is cut off each side of a picture, in hundredths of it. */
export interface Crop {
  left: number
  top: number
  right: number
  bottom: number
}

/** Two marks across a base in a picture, in hundredths of its width and height, and how wide that base is. */
export interface MarkedBase {
  x1: number
  y1: number
  x2: number
  y2: number
  widthMm: number
  /** How deep it looks for its width, in hundredths: 100 from right above. */
  depth: number
}

/** A value in a column of JSON. */
type Json<Value> = ColumnType<Value | null, string | null | undefined, string | null>

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
    /** From what its copies cover; else the member said so. */
    crowdingWorkedOut: Generated<boolean>
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
  /** Of a member's own print; without a file it is loose, and its form not accepted yet. */
  picture: {
    id: string
    memberId: string
    fileId: string | null
    printId: string | null
    /** Of the content of its large size, whose measures follow. */
    hash: string
    width: number
    height: number
    /** The same before it was cropped. */
    wholeHash: string
    wholeWidth: number
    wholeHeight: number
    crop: Json<Crop>
    base: Json<MarkedBase>
    alt: Generated<string>
    createdAt: When
    version: Generated<number>
  }
  /** Whose bytes may have to go. */
  pictureGone: { hash: string }
}
