import { mayChange } from '../../../http/access.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Offer } from './schema.ts'

/** An offer as its page shows it. @param runs ids of the memberships that the viewer pays for */
export const shownOffer = (offer: Offer, viewer: Viewer, runs: ReadonlySet<string>) => ({
  ...offer,
  runs: runs.has(offer.id),
  mayChange: mayChange(viewer, offer.createdBy.id),
})
