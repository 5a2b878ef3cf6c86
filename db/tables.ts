import type { ColumnType, Generated, JSONColumnType } from 'kysely'

/** A calendar day, `YYYY-MM-DD`. */
type Day = string
type When = ColumnType<Date, Date | string | undefined, Date | string>
/** Written by the database alone. */
type Computed<T> = ColumnType<T, never, never>

export type Role = 'member' | 'steward' | 'owner'
export type BaseShape = 'round' | 'oval' | 'rectangle'
export type SupportKind = 'as supplied' | 'extra supports' | 'own supports'
export type OfferKind = 'purchase' | 'bundle' | 'membership' | 'free'
export type OfferState = 'on sale' | 'members only' | 'withdrawn'
export type SnagKind =
  | 'unsupported part'
  | 'too light supports'
  | 'trapped-resin hollow'
  | 'missing option'
  | 'wrong scale'
  | 'fragile detail'
  | 'broken mesh'
  | 'dead link'
export type Severity = 'stops the print' | 'costs time' | 'only looks'
export type SnagState = 'open' | 'the sculptor knows' | 'mended'
export type UpkeepKind = 'film changed' | 'plate levelled' | 'vat filtered' | 'screen replaced' | 'other'
export type Crowding = 'half empty' | 'about full' | 'packed'
export type Seen =
  | 'supports snapped'
  | 'part had no support'
  | 'nothing stuck to the plate'
  | 'one side of the plate only'
  | 'stuck to the film'
  | 'layers pulled apart'
  | 'soft detail'
  | "don't know"

export type RetailPer = 'box' | 'entry'

interface BaseColumns {
  baseShape: BaseShape | null
  baseWidthMm: number | null
  baseLengthMm: number | null
}

/** The rows of each table; the columns are in snake_case there (`resin_ml`). Units stand in the names; money is in minor units of its currency. */
export interface Tables {
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
    /** Fields whose words are not those of whoever added it; the same in revisions, offers and snags. */
    othersWords: Generated<string[]>
    createdBy: string
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
