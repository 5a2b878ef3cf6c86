import type { Offer } from '../../server/planning/instance.ts'

type Membership = {
  id: string
  priceAMonthMinor: number
  /** how many months it takes until each file is opened, at least 1 */
  files: readonly { fileId: string; months: number }[]
}

/**
 * A membership as offers, a rung for each number of months that opens something more: so many months' price for all
 * that is open by then. No rule keeps two rungs apart, since buying two is never cheaper than the longer one.
 *
 * @returns shortest first; the ids are the membership's with the months added
 */
export function membershipRungs({ id, priceAMonthMinor, files }: Membership): Offer[] {
  const rungs = [...new Set(files.map(({ months }) => months))].sort((one, other) => one - other)
  return rungs.map((months) => ({
    id: `${id}/${months}`,
    kind: 'membership',
    priceMinor: months * priceAMonthMinor,
    fileIds: files.filter((file) => file.months <= months).map(({ fileId }) => fileId),
    membership: { id, months },
  }))
}
