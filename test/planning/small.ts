import type { Candidate, Entry, Instance, Offer, Options } from '../../server/planning/instance.ts'

/** A roster written by hand: `{ 'file a': 500 }` is an offer of one file at 5.00. */
export function rosterOf(given: {
  entries: (Partial<Entry> & { id: string })[]
  candidates: [entryId: string, fileId: string, printMinor: number, share?: number, more?: Partial<Candidate>][]
  offers: (Partial<Offer> & { id: string; fileIds: string[]; priceMinor: number })[]
  styleTags?: Record<string, string[]>
  sculptors?: Record<string, string>
  options?: Partial<Options>
}): Instance {
  const fileIds = new Set(given.candidates.map(([, fileId]) => fileId))
  return {
    entries: given.entries.map((entry) => ({ models: 10, retailMinor: 4000, ...entry })),
    files: Array.from(fileIds, (id) => ({
      id,
      sculptorId: given.sculptors?.[id] ?? 'Orla',
      styleTags: given.styleTags?.[id] ?? [],
    })),
    candidates: given.candidates.map(([entryId, fileId, printMinor, share = 1, more = {}]) => {
      return { entryId, fileId, printMinor, share, ...more }
    }),
    offers: given.offers.map((offer) => ({ kind: offer.fileIds.length > 1 ? 'bundle' : 'purchase', ...offer })),
    options: { looksWorthMinor: 100, ...given.options },
  }
}

/** Two entries, each with a file of its own, and a bundle that holds another for each. */
export const wardensAndHounds = rosterOf({
  entries: [
    { id: 'wardens', models: 10, retailMinor: 4200 },
    { id: 'hounds', models: 5, retailMinor: 3000 },
  ],
  candidates: [
    ['wardens', 'Fen Wardens', 500, 0.9, { supportSetId: 'as supplied' }],
    ['wardens', 'Reed Watch', 450, 0.6],
    ['hounds', 'Ash Hounds', 200, 0.8],
    ['hounds', 'Marsh Dogs', 300, 0.7],
  ],
  offers: [
    { id: 'Fen Wardens alone', priceMinor: 900, fileIds: ['Fen Wardens'] },
    { id: 'Ash Hounds alone', priceMinor: 800, fileIds: ['Ash Hounds'] },
    { id: 'marsh bundle', priceMinor: 1000, fileIds: ['Reed Watch', 'Marsh Dogs', 'Bog Oak'] },
  ],
})
