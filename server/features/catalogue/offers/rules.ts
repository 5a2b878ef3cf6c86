import type { OfferKind, OfferState, Role } from '../../../../db/tables.ts'
import { isSteward } from '../../../http/access.ts'
import { type FieldError, wrongIf } from '../../../http/problem.ts'

/** What an offer asks for, as far as its parts have to fit together. */
export interface Terms {
  kind: OfferKind
  price: { amount: string } | null
  minMonths: number | null
  /** How many files it opens. */
  files: number
}

/** What does not fit together in an offer, at its field; empty when all is well. */
export function wrongTerms({ kind, price, minMonths, files }: Terms): FieldError[] {
  const isFree = price === null || Number(price.amount) === 0
  return [
    ...wrongIf(kind === 'free' && !isFree, '/price', 'A free offer costs 0.'),
    ...wrongIf(kind !== 'free' && price === null, '/price', 'What does it cost?'),
    ...wrongIf(
      kind === 'membership' && minMonths === null,
      '/minMonths',
      'For at least how many months? 1 if it can be cancelled at any time.',
    ),
    ...wrongIf(kind !== 'membership' && minMonths !== null, '/minMonths', 'Only a membership has a number of months.'),
    ...wrongIf(kind === 'purchase' && files > 1, '/fileIds', 'A purchase is of one file; several are a bundle.'),
    ...wrongIf(files === 0, '/fileIds', 'Which files does it open? Name at least one.'),
  ]
}

/**
 * The link of an offer, for whom it may be shown to: a withdrawn file stays as knowledge, not as a link, and what opens
 * any file of a sculptor who asked not to be named leads nobody there but stewards, and whoever wrote the link down.
 */
export function shownLink(
  offer: { url: string | null; state: OfferState; opensUnnamed: boolean; by: string | null },
  viewer: { id: string; role: Role },
): string | null {
  if (isSteward(viewer)) return offer.url
  return offer.state === 'withdrawn' || (offer.opensUnnamed && offer.by !== viewer.id) ? null : offer.url
}
