import { type App, lists, noContent } from '../../../http/route.ts'
import {
  endMembership,
  keepInArchive,
  listArchive,
  listMemberships,
  startMembership,
  takeFromArchive,
} from './queries.ts'
import { archivedSchema, archiveList, byFileId, byOfferId, runningSchema } from './schema.ts'

/** What the caller has: nobody sees another's. */
export function archiveApi(app: App): void {
  app.get('/archive', lists(archivedSchema, { querystring: archiveList }), ({ db, member, query }) =>
    listArchive(db, member, query),
  )

  app.put('/archive/:fileId', noContent({ params: byFileId }), ({ db, member, params }) =>
    keepInArchive(db, member, params.fileId),
  )

  app.delete('/archive/:fileId', noContent({ params: byFileId }), ({ db, member, params }) =>
    takeFromArchive(db, member, params.fileId),
  )

  app.get('/memberships', lists(runningSchema, { querystring: archiveList }), ({ db, member, query }) =>
    listMemberships(db, member, query),
  )

  app.put('/memberships/:offerId', noContent({ params: byOfferId }), ({ db, member, params }) =>
    startMembership(db, member, params.offerId),
  )

  app.delete('/memberships/:offerId', noContent({ params: byOfferId }), ({ db, member, params }) =>
    endMembership(db, member, params.offerId),
  )
}
