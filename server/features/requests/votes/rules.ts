/** So many votes' worth the group's own share weighs, whatever the file. */
/** So many votes are added to a file's own. */
export const priorVotes = 4

/**
 * Share of the group that would field a file: posterior mean with four votes added that fall as the group's votes do in
 * general, so that 1 of 1 does not beat 30 of 32, and a file that nobody has voted on yet is one like the others.
 *
 * @param yes members who would field it, >= 0
 * @param no members who would not, >= 0
 * @param groupShare share of yes among all of the group's votes, see `groupShareOf`
 * @returns share strictly between 0 and 1; `groupShare` while nobody has voted
 * @throws RangeError when a count is negative or not whole
 * @see Agresti & Coull (1998), The American Statistician 52, 119-126 ("plus four"); Casella (1985), An introduction to
 *   empirical Bayes data analysis, The American Statistician 39, 83-87 (the group's own mean in place of one half)
 */
export function fieldShare(yes: number, no: number, groupShare: number): number {
  if (![yes, no].every((count) => Number.isInteger(count) && count >= 0))
    throw new RangeError('votes are counted in whole numbers from 0')
  return (yes + priorVotes * groupShare) / (yes + no + priorVotes)
}

/** Share of yes among all votes of the group, which itself starts from one half. @param yes @param no of all files */
export const groupShareOf = (yes: number, no: number): number => fieldShare(yes, no, 0.5)
