import { type App, answers, byId, lists, makes, ofId, sameUntilWritten } from '../../../http/route.ts'
import { changeRequest, listRequests, postRequest, readRequest } from './queries.ts'
import { changedRequest, newRequest, requestList, requestSchema } from './schema.ts'

export function requestsApi(app: App): void {
  app.get(
    '/requests',
    { ...sameUntilWritten, ...lists(requestSchema, { querystring: requestList }) },
    ({ db, member, query }) => listRequests(db, member, query),
  )

  app.post('/requests', makes(requestSchema, { body: newRequest }), ({ db, member, body }) =>
    postRequest(db, member, body),
  )

  app.get('/requests/:id', { ...sameUntilWritten, ...answers(requestSchema, ofId) }, ({ db, member, params }) =>
    readRequest(db, member, params.id),
  )

  app.patch(
    '/requests/:id',
    answers(requestSchema, { params: byId, body: changedRequest }),
    ({ db, member, params, body, wanted }) => changeRequest(db, member, params.id, body, wanted),
  )
}
