import { compareText } from './compare.ts'
import type { Candidate, Entry, File, Instance, Offer } from './instance.ts'

/** Why nothing is planned for an entry: the first step that left it without any file. */
export type Reason =
  | 'no candidate'
  | 'pinned file is no candidate'
  | 'sculptor excluded'
  | 'file excluded'
  | 'fits no printer'
  | 'open snag stops the print'
  | 'share too small'
  | 'pair refused'
  | 'no usable offer'
  | 'over budget'
  | 'left out to differ'

export type Uncovered = { entryId: string; reason: Reason }

/** What is left once everything that may not be used is out, in an order that the input's does not change. */
export type Usable = {
  entries: UsableEntry[]
  offers: Offer[]
  uncovered: Uncovered[]
}

export type UsableEntry = { entry: Entry; choices: Choice[] }

/** A file for an entry, with the best of its support sets. */
export type Choice = {
  candidate: Candidate
  styleTags: readonly string[]
  looksMinor: number
  /** places in `Usable.offers` that open it, at least one */
  offers: number[]
}

type Step = { reason: Reason; keeps: (candidate: Candidate, entry: Entry) => boolean }

/** Takes out whatever the options forbid; entries that are left with nothing are listed with the reason. */
export function usable(instance: Instance): Usable {
  const files = new Map(instance.files.map((file) => [file.id, file]))
  const offers = usableOffers(instance)
  const offersOfFile = indexByFile(offers)
  const steps = stepsOf(instance, files, offersOfFile)
  const candidatesOf = Map.groupBy(instance.candidates, ({ entryId }) => entryId)
  const found: Usable = { entries: [], offers, uncovered: [] }
  for (const entry of instance.entries) {
    let left = candidatesOf.get(entry.id) ?? []
    const emptied = left.length === 0 ? 'no candidate' : undefined
    const reason =
      emptied ??
      steps.find(({ keeps }) => {
        left = left.filter((candidate) => keeps(candidate, entry))
        return left.length === 0
      })?.reason
    if (reason) found.uncovered.push({ entryId: entry.id, reason })
    else found.entries.push({ entry, choices: choicesOf(left, entry, instance, files, offersOfFile) })
  }
  found.entries.sort((one, other) => compareText(one.entry.id, other.entry.id))
  return found
}

function stepsOf({ options }: Instance, files: Map<string, File>, offersOfFile: Map<string, number[]>): Step[] {
  const { sculptorIds, fileIds, pairs } = options.exclude ?? {}
  const sculptors = new Set(sculptorIds)
  const excluded = new Set(fileIds)
  const refused = new Set((pairs ?? []).map(({ entryId, fileId }) => JSON.stringify([entryId, fileId])))
  return [
    {
      reason: 'pinned file is no candidate',
      keeps: ({ fileId }, { pinnedFileId }) => pinnedFileId === undefined || pinnedFileId === fileId,
    },
    { reason: 'sculptor excluded', keeps: ({ fileId }) => !sculptors.has(files.get(fileId)?.sculptorId ?? '') },
    { reason: 'file excluded', keeps: ({ fileId }) => !excluded.has(fileId) },
    {
      reason: 'fits no printer',
      keeps: ({ fits = true, fileId }, { pinnedFileId }) => fits || fileId === pinnedFileId,
    },
    { reason: 'open snag stops the print', keeps: ({ blocked }) => !(options.avoidBlocked && blocked) },
    { reason: 'share too small', keeps: ({ share }, { minShare = 0 }) => share >= minShare },
    { reason: 'pair refused', keeps: ({ entryId, fileId }) => !refused.has(JSON.stringify([entryId, fileId])) },
    { reason: 'no usable offer', keeps: ({ fileId }) => offersOfFile.has(fileId) },
  ]
}

function usableOffers({ offers, options }: Instance): Offer[] {
  const { allowMemberships = true, exclude } = options
  const excluded = new Set(exclude?.offerIds)
  return offers
    .filter(({ id, membership }) => !excluded.has(id) && !(membership && excluded.has(membership.id)))
    .filter(({ kind }) => allowMemberships || kind !== 'membership')
    .sort((one, other) => compareText(one.id, other.id))
}

function indexByFile(offers: readonly Offer[]): Map<string, number[]> {
  const found = new Map<string, number[]>()
  offers.forEach(({ fileIds }, index) => {
    for (const fileId of new Set(fileIds)) {
      const indices = found.get(fileId)
      if (indices) indices.push(index)
      else found.set(fileId, [index])
    }
  })
  return found
}

function choicesOf(
  candidates: readonly Candidate[],
  entry: Entry,
  { options }: Instance,
  files: Map<string, File>,
  offersOfFile: Map<string, number[]>,
): Choice[] {
  const best = new Map<string, Choice>()
  for (const candidate of candidates) {
    const choice = {
      candidate,
      styleTags: files.get(candidate.fileId)?.styleTags ?? [],
      looksMinor: looksMinor(entry, options.looksWorthMinor, candidate.share),
      offers: offersOfFile.get(candidate.fileId) ?? [],
    }
    const other = best.get(candidate.fileId)
    if (!other || isBetter(choice, other)) best.set(candidate.fileId, choice)
  }
  return [...best.values()].sort((one, other) => compareText(one.candidate.fileId, other.candidate.fileId))
}

/** What the looks of a file cost an entry: the same sum that the ranking of answers adds, times the entry's weight. */
function looksMinor({ models, weight = 1 }: Entry, looksWorthMinor: number, share: number): number {
  return Math.round(models * looksWorthMinor * weight * (1 - share))
}

function isBetter(one: Choice, other: Choice): boolean {
  const dearer = costMinor(one) - costMinor(other) || one.candidate.printMinor - other.candidate.printMinor
  if (dearer !== 0) return dearer < 0
  return compareText(one.candidate.supportSetId ?? '', other.candidate.supportSetId ?? '') < 0
}

/** What it costs an entry to be printed from this file, looks included, the offer left out. */
export function costMinor({ candidate, looksMinor }: Choice): number {
  return candidate.printMinor + looksMinor
}
