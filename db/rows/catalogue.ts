import type { Generated, JSONColumnType } from 'kysely'
import type {
  BaseColumns,
  Computed,
  Day,
  OfferKind,
  OfferState,
  Severity,
  SnagKind,
  SnagState,
  SupportKind,
  When,
} from './words.ts'

/** Closed rings of points, in mm. */
type Rings = [x: number, y: number][][]

/** Units, and the files that stand in for them. */
export interface CatalogueTables {
  unit: BaseColumns & {
    id: string
    name: string
    aliases: Generated<string[]>
    setting: Generated<string>
    scaleMm: number
    modelsPerUnit: Generated<number>
    retailPriceMinor: number | null
    retailPriceCurrency: string | null
    createdBy: string
    createdAt: When
    version: Generated<number>
    search: Computed<string>
  }
  sculptor: {
    id: string
    name: string
    credit: 'named' | 'unnamed'
    /** Whose own sculptor of this name it is, apart from the group's (server/features/catalogue/sculptors/queries.ts). */
    typedBy: Generated<string | null>
    /** The credit that this member typed. */
    typedAs: Generated<'named' | 'unnamed' | null>
    createdAt: When
    version: Generated<number>
  }
  file: BaseColumns & {
    id: string
    title: string
    sculptorId: string
    scaleMm: number | null
    heightMm: number | null
    formats: Generated<string[]>
    options: Generated<string[]>
    styleTags: Generated<string[]>
    licence: Generated<string>
    resinMl: number | null
    remark: Generated<string>
    /** Names of fields that were last written by somebody other than its author; the same in revisions, offers and snags. */
    othersWords: Generated<string[]>
    createdBy: string
    /** The picture that a steward chose to stand for it. */
    faceId: string | null
    createdAt: When
    version: Generated<number>
    search: Computed<string>
  }
  fileUnit: { fileId: string; unitId: string }
  revision: {
    id: string
    fileId: string
    label: string
    releasedOn: Day | null
    sha256: string | null
    othersWords: Generated<string[]>
    createdBy: string
    createdAt: When
    version: Generated<number>
  }
  supportSet: {
    id: string
    revisionId: string
    kind: SupportKind
    claim: Generated<string>
    createdBy: string
    createdAt: When
  }
  /** What was measured of a revision: as it was sculpted, or with one of its support sets. */
  measure: {
    id: string
    revisionId: string
    supportSetId: string | null
    sha256s: Generated<string[]>
    widthMm: number
    depthMm: number
    heightMm: number
    /** Null from here on where the size was typed by hand. */
    volumeMl: number | null
    surfaceMm2: number | null
    overlapping: boolean | null
    shells: number | null
    openEdges: number | null
    nonManifoldEdges: number | null
    invertedShells: number | null
    widestLayerMm2: number | null
    widestLayerAtMm: number | null
    front: JSONColumnType<Rings> | null
    side: JSONColumnType<Rings> | null
    above: JSONColumnType<Rings> | null
    midAir: JSONColumnType<{ heightMm: number; xMm: number; yMm: number; areaMm2: number }[]> | null
    layerUm: number | null
    measuredBy: string
    measuredAt: When
  }
  offer: {
    id: string
    kind: OfferKind
    title: Generated<string>
    priceMinor: number
    priceCurrency: string
    minMonths: number | null
    url: string | null
    state: Generated<OfferState>
    seenOn: Day
    othersWords: Generated<string[]>
    createdBy: string
    createdAt: When
    version: Generated<number>
  }
  offerFile: { offerId: string; fileId: string }
  offerPrice: {
    id: string
    offerId: string
    priceMinor: number
    priceCurrency: string
    state: OfferState
    seenOn: Day
    createdBy: string
    createdAt: When
  }
  snag: {
    id: string
    fileId: string
    revisionId: string
    kind: SnagKind
    severity: Severity
    part: Generated<string>
    minutes: number | null
    detail: Generated<string>
    state: Generated<SnagState>
    mendedInRevisionId: string | null
    othersWords: Generated<string[]>
    createdBy: string
    createdAt: When
    version: Generated<number>
  }
  archive: { memberId: string; fileId: string; createdAt: When }
  runningMembership: { memberId: string; offerId: string; createdAt: When }
}
