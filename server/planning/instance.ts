/** What a plan is made from. All money is in whole minor units of the group's currency. */
export type Instance = {
  entries: readonly Entry[]
  files: readonly File[]
  candidates: readonly Candidate[]
  offers: readonly Offer[]
  options: Options
}

/** A line of the roster: so many models of one unit. */
export type Entry = {
  id: string
  /** how many have to stand on the table, whole, at least 1 */
  models: number
  /** price of the boxes they would come in; null where nobody knows it */
  retailMinor: number | null
  /** files with a smaller share of yes votes are left out */
  minShare?: number
  /** this file and no other */
  pinnedFileId?: string
  /** how much its looks count, 1 if left out */
  weight?: number
  /** may be printed from two files, if that is worth `bonusMinor` for the variety */
  split?: Split
}

export type Split = {
  /** smallest part of the entry that either file makes up, above 0, at most 0.5 */
  minPart: number
  bonusMinor: number
}

export type File = { id: string; sculptorId: string; styleTags: readonly string[] }

/** A file that could stand in for an entry; one row for each support set that is worth considering. */
export type Candidate = {
  entryId: string
  fileId: string
  supportSetId?: string
  /** resin, expected failures and time for snags, for all models of the entry */
  printMinor: number
  /** share of the group that would field it, 0 to 1 */
  share: number
  /** an open snag says that it can't be printed */
  blocked?: boolean
  /** false: on none of the machines that there are; it is used only where it is pinned */
  fits?: boolean
}

export type OfferKind = 'purchase' | 'bundle' | 'membership' | 'free' | 'owned'

/** A way to get files. What the member has, or a membership that they already pay for, is `owned` at price 0. */
export type Offer = {
  id: string
  kind: OfferKind
  priceMinor: number
  /** files that are no candidate may be among them */
  fileIds: readonly string[]
  /** the membership that this is so many months of */
  membership?: { id: string; months: number }
}

export type Options = {
  /** worth of one model that the group would field rather than one that it would not */
  looksWorthMinor: number
  /** most to be spent on offers */
  budgetMinor?: number
  /** false: no offer of the kind `membership`, true if left out */
  allowMemberships?: boolean
  /** leave out files with an open snag that stops the print */
  avoidBlocked?: boolean
  exclude?: {
    sculptorIds?: readonly string[]
    fileIds?: readonly string[]
    /** of offers, or of memberships */
    offerIds?: readonly string[]
    pairs?: readonly { entryId: string; fileId: string }[]
  }
  theme?: Theme
  /** offers of an earlier plan, which is kept to unless another one is better */
  earlier?: readonly string[]
  /** plans that are not to come out again, nor any that drops fewer than so many of their offers */
  differFrom?: readonly { offerIds: readonly string[]; dropAtLeast: number }[]
}

/** What it is worth, per entry, that the army looks of a piece: at most one of the tags gets the bonus. */
export type Theme = {
  bonusMinor: number
  /** the tags to choose from; every tag of a candidate if left out */
  styleTags?: readonly string[]
}
