/** Repeatable chance: what is drawn from one seed is the same in every run. */
export interface Random {
  /** @returns a number from 0 up to, but never, 1 */
  next(): number
  /** @returns a whole number from `least` to `most`, both included */
  whole(least: number, most: number): number
  happens(chance: number): boolean
  pick<Item>(items: readonly Item[]): Item
  /** Picks in proportion to the weights, of which at least one is above 0. */
  weighted<Item>(items: readonly Item[], weight: (item: Item) => number): Item
  bytes(count: number): Uint8Array
}

/** @param seed any text */
export function randomFrom(seed: string): Random {
  let state = hash(seed) || 1
  const next = () => {
    state = xorshift(state)
    return state / 2 ** 32
  }
  for (let warmUp = 0; warmUp < 20; warmUp++) next()
  const whole = (least: number, most: number) => least + Math.floor(next() * (most - least + 1))
  return {
    next,
    whole,
    happens: (chance) => next() < chance,
    pick: (items) => at(items, whole(0, items.length - 1)),
    weighted(items, weight) {
      let left = next() * items.reduce((sum, item) => sum + weight(item), 0)
      for (const item of items) {
        left -= weight(item)
        if (left < 0) return item
      }
      return at(items, items.length - 1)
    },
    bytes: (count) => Uint8Array.from({ length: count }, () => whole(0, 255)),
  }
}

/**
 * Deals items in a shuffled order and starts anew, differently, when all are dealt: varied, but nothing twice in a row
 * of a short list.
 */
export function dealer<Item>(items: readonly Item[], random: Random): () => Item {
  let deck: Item[] = []
  return () => {
    if (deck.length === 0) deck = shuffled(items, random)
    return deck.pop() ?? at(items, 0)
  }
}

export function shuffled<Item>(items: readonly Item[], random: Random): Item[] {
  const keyed = items.map((item) => ({ item, key: random.next() }))
  return keyed.sort((one, other) => one.key - other.key).map(({ item }) => item)
}

function at<Item>(items: readonly Item[], index: number): Item {
  const item = items[index]
  if (item === undefined) throw new RangeError('nothing to choose from')
  return item
}

/**
 * The next of 2^32 - 1 numbers, all but 0, before they repeat.
 *
 * @see Marsaglia (2003), Xorshift RNGs, Journal of Statistical Software 8(14): the triple 13, 17, 5
 */
export function xorshift(state: number): number {
  let next = state
  next ^= next << 13
  next ^= next >>> 17
  next ^= next << 5
  return next >>> 0
}

/**
 * 32 bits made of a text in ASCII.
 *
 * @see FNV-1a as in RFC 9923 (The FNV Non-Cryptographic Hash Algorithm)
 */
export function hash(text: string): number {
  let value = 0x811c9dc5
  for (let index = 0; index < text.length; index++) value = Math.imul(value ^ text.charCodeAt(index), 0x01000193)
  return value >>> 0
}
