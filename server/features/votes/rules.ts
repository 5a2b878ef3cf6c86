/**
 * Share of the group that would field a file: posterior mean with two yes and two no added, so that 1 of 1 does not
 * beat 30 of 32.
 *
 * @param yes members who would field it, >= 0
 * @param no members who would not, >= 0
 * @returns share strictly between 0 and 1; 0.5 while nobody has voted
 * @throws RangeError when a count is negative or not whole
 * @see Agresti & Coull (1998), The American Statistician 52, 119-126 ("plus four")
 */
export function fieldShare(yes: number, no: number): number {
  if (![yes, no].every((count) => Number.isInteger(count) && count >= 0))
    throw new RangeError('votes are counted in whole numbers from 0')
  return (yes + 2) / (yes + no + 4)
}
