import { expect, test } from 'vitest'
import { checkInstance } from '../../server/planning/check-instance.ts'
import type { Instance, Options } from '../../server/planning/instance.ts'
import { wardensAndHounds } from './small.ts'

const [entry, otherEntry] = wardensAndHounds.entries
const [candidate] = wardensAndHounds.candidates
const [offer] = wardensAndHounds.offers
const changedEntry = (change: object): Instance => ({
  ...wardensAndHounds,
  entries: [{ ...entry, ...change } as Instance['entries'][number], ...(otherEntry ? [otherEntry] : [])],
})
const changedCandidate = (change: object): Instance => ({
  ...wardensAndHounds,
  candidates: [{ ...candidate, ...change } as Instance['candidates'][number]],
})
const changedOffer = (change: object): Instance => ({
  ...wardensAndHounds,
  offers: [{ ...offer, ...change } as Instance['offers'][number]],
})
const options = (change: Partial<Options>): Instance => ({
  ...wardensAndHounds,
  options: { looksWorthMinor: 1, ...change },
})

test.each<[string, Instance]>([
  ['models of entry wardens must be a whole number from 1 to 100000, not 0', changedEntry({ models: 0 })],
  ['models of entry wardens must be a whole number from 1 to 100000, not 1.5', changedEntry({ models: 1.5 })],
  [
    'retail price of entry wardens must be a whole number of minor units from 0 to 100000000000, not -1',
    changedEntry({ retailMinor: -1 }),
  ],
  ['least share of entry wardens must be from 0 to 1, not NaN', changedEntry({ minShare: Number.NaN })],
  ['weight of entry wardens must be from 0 to 1000000, not -1', changedEntry({ weight: -1 })],
  [
    'smallest part of entry wardens must be from 5e-324 to 0.5, not 0',
    changedEntry({ split: { minPart: 0, bonusMinor: 1 } }),
  ],
  [
    'bonus for a split of entry wardens must be a whole number of minor units from 0 to 100000000000, not 0.5',
    changedEntry({ split: { minPart: 0.5, bonusMinor: 0.5 } }),
  ],
  ['entry hounds is there twice', changedEntry({ id: 'hounds' })],
  [
    'printing Fen Wardens for entry wardens must be a whole number of minor units from 0 to 100000000000, not NaN',
    changedCandidate({ printMinor: Number.NaN }),
  ],
  [
    'printing Fen Wardens for entry wardens must be a whole number of minor units from 0 to 100000000000, not Infinity',
    changedCandidate({ printMinor: Number.POSITIVE_INFINITY }),
  ],
  ['share of Fen Wardens for entry wardens must be from 0 to 1, not 1.1', changedCandidate({ share: 1.1 })],
  ['candidate of an unknown entry lords', changedCandidate({ entryId: 'lords' })],
  ['candidate with an unknown file Bog Oak', changedCandidate({ fileId: 'Bog Oak' })],
  [
    'price of offer Fen Wardens alone must be a whole number of minor units from 0 to 100000000000, not 9.5',
    changedOffer({ priceMinor: 9.5 }),
  ],
  [
    'months of offer Fen Wardens alone must be from 1 to 1200, not 0',
    changedOffer({ membership: { id: 'club', months: 0 } }),
  ],
  ['worth of looks must be from 0 to 100000000000, not NaN', options({ looksWorthMinor: Number.NaN })],
  ['budget must be a whole number of minor units from 0 to 100000000000, not -1', options({ budgetMinor: -1 })],
  [
    'bonus for a theme must be a whole number of minor units from 0 to 100000000000, not -1',
    options({ theme: { bonusMinor: -1 } }),
  ],
  [
    'a plan to differ from needs a whole number of offers to drop, at least 1',
    options({ differFrom: [{ offerIds: [], dropAtLeast: 0 }] }),
  ],
])('%s', (message, instance) => {
  expect(() => checkInstance(instance)).toThrow(new RangeError(message))
})

test('what makes sense passes', () => {
  expect(() => checkInstance(wardensAndHounds)).not.toThrow()
})
