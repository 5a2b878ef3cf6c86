import type { Candidate, Entry, File, Instance, Offer, Options, Split } from '../../server/planning/instance.ts'
import { Random } from '../../server/scoring/random.ts'
import { membershipRungs } from './memberships.ts'

export type Kind = 'mixed' | 'hard'

const styleTags = ['bone', 'brass', 'moss']
const sculptors = ['Orla', 'Brok', 'Sanne']

/**
 * A roster small enough to try every plan: 6 entries, 4 candidates each, 8 offers and a membership of three rungs.
 * Of the mixed ones each rule is there by chance; the hard ones have most of them at once, and a tight budget.
 */
export function smallRoster(kind: Kind, seed: number): Instance {
  const dice = new Dice(seed)
  const often = kind === 'hard' ? 0.75 : 0.35
  const files = Array.from(
    { length: 9 },
    (_, place): File => ({
      id: `file ${place}`,
      sculptorId: dice.one(sculptors),
      styleTags: styleTags.filter(() => dice.chance(0.4)),
    }),
  )
  const entries = Array.from({ length: 6 }, (_, place) => entryOf(place, files, often, dice))
  const candidates = entries.flatMap((entry) => candidatesOf(entry, files, often, dice))
  const offers = offersOf(files, dice)
  const options = optionsOf(kind, { entries, candidates, offers }, often, dice)
  return { entries, files, candidates, offers, options }
}

function entryOf(place: number, files: readonly File[], often: number, dice: Dice): Entry {
  const models = dice.between(1, 12)
  const split: Split = { minPart: dice.between(5, 50) / 100, bonusMinor: dice.between(0, 300) }
  return {
    id: `entry ${place}`,
    models,
    retailMinor: dice.chance(0.9) ? dice.between(1500, 6000) : null,
    ...(dice.chance(often / 3) ? { minShare: dice.between(30, 80) / 100 } : {}),
    ...(dice.chance(often / 4) ? { pinnedFileId: dice.one(files).id } : {}),
    ...(dice.chance(often / 3) ? { weight: dice.between(0, 30) / 10 } : {}),
    ...(dice.chance(often / 3) ? { split } : {}),
  }
}

function candidatesOf({ id, models, pinnedFileId }: Entry, files: readonly File[], often: number, dice: Dice) {
  const chosen = new Set(pinnedFileId !== undefined && dice.chance(0.8) ? [pinnedFileId] : [])
  while (chosen.size < 4) chosen.add(dice.one(files).id)
  return Array.from(chosen).flatMap((fileId): Candidate[] => {
    const share = dice.between(0, 100) / 100
    return Array.from({ length: dice.chance(0.2) ? 2 : 1 }, (_, set) => ({
      entryId: id,
      fileId,
      supportSetId: `${fileId}/${set}`,
      printMinor: models * dice.between(10, 90),
      share,
      ...(dice.chance(often / 4) ? { blocked: true } : {}),
    }))
  })
}

function offersOf(files: readonly File[], dice: Dice): Offer[] {
  const offers = Array.from({ length: 8 }, (_, place): Offer => {
    const kind = dice.one(['purchase', 'purchase', 'purchase', 'bundle', 'bundle', 'bundle', 'free', 'owned'] as const)
    const size = kind === 'bundle' ? dice.between(2, 5) : 1
    const fileIds = new Set<string>()
    while (fileIds.size < size) fileIds.add(dice.one(files).id)
    const priceMinor = kind === 'free' || kind === 'owned' ? 0 : dice.between(100, 500) + 200 * size
    return { id: `offer ${place}`, kind, priceMinor, fileIds: [...fileIds] }
  })
  const membership = {
    id: 'membership',
    priceAMonthMinor: dice.between(300, 700),
    files: files.filter(() => dice.chance(0.5)).map(({ id }) => ({ fileId: id, months: dice.between(1, 3) })),
  }
  return [...offers, ...membershipRungs(membership)]
}

type Parts = Pick<Instance, 'entries' | 'candidates' | 'offers'>

function optionsOf(kind: Kind, { candidates, offers }: Parts, often: number, dice: Dice): Options {
  const { entryId, fileId } = dice.one(candidates)
  return {
    looksWorthMinor: dice.between(0, 100),
    ...(dice.chance(often) ? { budgetMinor: dice.between(200, kind === 'hard' ? 1500 : 4000) } : {}),
    ...(dice.chance(often / 4) ? { allowMemberships: false } : {}),
    ...(dice.chance(often) ? { avoidBlocked: true } : {}),
    ...(dice.chance(often)
      ? { theme: { bonusMinor: dice.between(0, 250), ...(dice.chance(0.3) ? { styleTags: ['brass'] } : {}) } }
      : {}),
    exclude: {
      ...(dice.chance(often / 3) ? { sculptorIds: [dice.one(sculptors)] } : {}),
      ...(dice.chance(often / 4) ? { fileIds: [fileId] } : {}),
      ...(dice.chance(often / 4) ? { offerIds: [dice.chance(0.3) ? 'membership' : dice.one(offers).id] } : {}),
      ...(dice.chance(often / 3) ? { pairs: [{ entryId, fileId }] } : {}),
    },
    ...(dice.chance(often / 4)
      ? { differFrom: [{ offerIds: offers.filter(() => dice.chance(0.4)).map(({ id }) => id), dropAtLeast: 1 }] }
      : {}),
  }
}

class Dice {
  readonly #random: Random

  constructor(seed: number) {
    this.#random = new Random(seed)
  }

  chance(likely: number): boolean {
    return this.#random.uniform() < likely
  }

  /** whole, both ends included */
  between(low: number, high: number): number {
    return low + Math.floor((high - low + 1) * this.#random.uniform())
  }

  one<Item>(items: readonly Item[]): Item {
    const item = items[this.between(0, items.length - 1)]
    if (item === undefined) throw new RangeError('nothing to choose from')
    return item
  }
}
