import { type App, answers, byId, makes, ofId } from '../../../http/route.ts'
import { addRevision, addSupportSet, changeRevision, readRevision } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, revisionSchema, supportSetSchema } from './schema.ts'

export function revisionsApi(app: App): void {
  app.post(
    '/files/:id/revisions',
    makes(revisionSchema, { params: byId, body: newRevision }),
    ({ db, member, params, body }) => addRevision(db, member, params.id, body, app.now()),
  )

  app.get('/revisions/:id', answers(revisionSchema, ofId), ({ db, member, params }) =>
    readRevision(db, member, params.id),
  )

  app.patch(
    '/revisions/:id',
    answers(revisionSchema, { params: byId, body: changedRevision }),
    ({ db, member, params, body, wanted }) => changeRevision(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.post(
    '/revisions/:id/support-sets',
    makes(supportSetSchema, { params: byId, body: newSupportSet }),
    async ({ db, member, params, body }, reply) => {
      const made = await addSupportSet(db, member, params.id, body)
      reply.header('location', `/api/v1/revisions/${made.revisionId}`)
      return made
    },
  )
}
