import { mayChange } from '../../../http/access.ts'
import type { Viewer } from '../../../http/session.ts'
import type { ShownOffer } from './queries.ts'

/** An offer as its page shows it. */
export const shownOffer = (offer: ShownOffer, viewer: Viewer) => ({
  ...offer,
  mayChange: mayChange(viewer, offer.createdBy.id),
})
