import type { Candidate, Entry, Instance, Offer, Options } from './instance.ts'

/** Beyond this, sums of a roster in doubles would no longer be exact to the minor unit. */
const mostMinor = 1e11
const mostModels = 100_000

/**
 * @throws RangeError naming the first thing that is wrong: a number that is negative, not whole or not finite, an id
 *   that is there twice or that nothing has
 */
export function checkInstance({ entries, files, candidates, offers, options }: Instance): void {
  const entryIds = uniqueIds('entry', entries)
  const fileIds = uniqueIds('file', files)
  uniqueIds('offer', offers)
  for (const entry of entries) checkEntry(entry)
  for (const candidate of candidates) {
    checkCandidate(candidate)
    if (!entryIds.has(candidate.entryId)) throw new RangeError(`candidate of an unknown entry ${candidate.entryId}`)
    if (!fileIds.has(candidate.fileId)) throw new RangeError(`candidate with an unknown file ${candidate.fileId}`)
  }
  for (const offer of offers) checkOffer(offer)
  checkOptions(options)
}

function uniqueIds(what: string, things: readonly { id: string }[]): Set<string> {
  const ids = new Set<string>()
  for (const { id } of things) {
    if (ids.has(id)) throw new RangeError(`${what} ${id} is there twice`)
    ids.add(id)
  }
  return ids
}

function checkEntry({ id, models, retailMinor, minShare, weight, split }: Entry): void {
  const whose = `of entry ${id}`
  if (!Number.isInteger(models) || models < 1 || models > mostModels) {
    throw new RangeError(`models ${whose} must be a whole number from 1 to ${mostModels}, not ${models}`)
  }
  if (retailMinor !== null) checkMinor(`retail price ${whose}`, retailMinor)
  checkBetween(`least share ${whose}`, minShare ?? 0, 0, 1)
  checkBetween(`weight ${whose}`, weight ?? 1, 0, 1e6)
  if (!split) return
  checkBetween(`smallest part ${whose}`, split.minPart, Number.MIN_VALUE, 0.5)
  checkMinor(`bonus for a split ${whose}`, split.bonusMinor)
}

function checkCandidate({ entryId, fileId, printMinor, share }: Candidate): void {
  checkMinor(`printing ${fileId} for entry ${entryId}`, printMinor)
  checkBetween(`share of ${fileId} for entry ${entryId}`, share, 0, 1)
}

function checkOffer({ id, priceMinor, membership }: Offer): void {
  checkMinor(`price of offer ${id}`, priceMinor)
  if (membership) checkBetween(`months of offer ${id}`, membership.months, 1, 1200)
}

function checkOptions({ looksWorthMinor, budgetMinor, theme, differFrom }: Options): void {
  checkBetween('worth of looks', looksWorthMinor, 0, mostMinor)
  if (budgetMinor !== undefined) checkMinor('budget', budgetMinor)
  if (theme) checkMinor('bonus for a theme', theme.bonusMinor)
  for (const { dropAtLeast } of differFrom ?? []) {
    if (!Number.isInteger(dropAtLeast) || dropAtLeast < 1) {
      throw new RangeError('a plan to differ from needs a whole number of offers to drop, at least 1')
    }
  }
}

function checkMinor(what: string, amount: number): void {
  if (Number.isInteger(amount) && amount >= 0 && amount <= mostMinor) return
  throw new RangeError(`${what} must be a whole number of minor units from 0 to ${mostMinor}, not ${amount}`)
}

function checkBetween(what: string, value: number, low: number, high: number): void {
  if (value >= low && value <= high) return
  throw new RangeError(`${what} must be from ${low} to ${high}, not ${value}`)
}
