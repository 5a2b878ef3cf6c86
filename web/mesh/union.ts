/** Sets that are joined in pairs: each member leads to another one, and the last to itself. */
export function singles(count: number): Int32Array {
  const leads = new Int32Array(count)
  for (let one = 0; one < count; one++) leads[one] = one
  return leads
}

/** The member that stands for a set; shortens the way there. */
export function standIn(leads: Int32Array, member: number): number {
  let one = member
  while (leads[one] !== one) {
    const next = leads[leads[one] as number] as number
    leads[one] = next
    one = next
  }
  return one
}

/** Makes one set of two. @returns who stands for it */
export function join(leads: Int32Array, one: number, other: number): number {
  const [a, b] = [standIn(leads, one), standIn(leads, other)]
  const [low, high] = a < b ? [a, b] : [b, a]
  leads[high] = low
  return low
}
