import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { changeRequest, listRequests, postRequest, readRequest } from './queries.ts'
import { changedRequest, newRequest, requestList, requestSchema } from './schema.ts'

export function requestsApi(app: App): void {
  app.get(
    '/requests',
    { config: { sameUntilWritten: true }, ...lists(requestSchema, { querystring: requestList }) },
    ({ db, member, query }) => listRequests(db, member, query),
  )

  app.post('/requests', makes(requestSchema, { body: newRequest }), ({ db, member, body }) =>
    postRequest(db, member, body),
  )

  app.get(
    '/requests/:id',
    { config: { sameUntilWritten: true }, ...answers(requestSchema, { params: byId }) },
    ({ db, member, params }) => readRequest(db, member, params.id),
  )

  app.patch(
    '/requests/:id',
    answers(requestSchema, { params: byId, body: changedRequest }),
    ({ db, member, params, body, wanted }) => changeRequest(db, member, params.id, body, wanted),
  )
}
