/** By code unit: the same on every machine, whatever its language. */
export function compareText(one: string, other: string): number {
  if (one === other) return 0
  return one < other ? -1 : 1
}
