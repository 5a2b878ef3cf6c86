// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
/** Which item stands at a place (`order`), at which place an item stands, and where each key's items start. */
export type Ordering = { start: Int32Array; order: Int32Array; place: Int32Array }

/** Orders items by key, equal keys as they came (counting sort). */
export function orderByKey(keys: ArrayLike<number>, keyCount: number): Ordering {
  const start = new Int32Array(keyCount + 1)
  for (let item = 0; item < keys.length; item++) start[keys[item]! + 1]!++
  for (let key = 0; key < keyCount; key++) start[key + 1]! += start[key]!
  const next = start.slice()
  const order = new Int32Array(keys.length)
  const place = new Int32Array(keys.length)
  for (let item = 0; item < keys.length; item++) {
    const at = next[keys[item]!]!++
    order[at] = item
    place[item] = at
  }
  return { start, order, place }
}
