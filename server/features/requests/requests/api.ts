import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { changeRequest, listRequests, postRequest, readRequest } from './queries.ts'
import { changedRequest, newRequest, requestList, requestSchema } from './schema.ts'

export function requestsApi(app: App): void {
  app.get(
    '/requests',
    { config: { sameUntilWritten: true }, schema: { querystring: requestList, response: lists(requestSchema) } },
    ({ db, member, query }) => listRequests(db, member, query),
  )

  app.post('/requests', { schema: { body: newRequest, response: makes(requestSchema) } }, ({ db, member, body }) =>
    postRequest(db, member, body),
  )

  app.get(
    '/requests/:id',
    { config: { sameUntilWritten: true }, schema: { params: byId, response: answers(requestSchema) } },
    ({ db, member, params }) => readRequest(db, member, params.id),
  )

  app.patch(
    '/requests/:id',
    { schema: { params: byId, body: changedRequest, response: answers(requestSchema) } },
    ({ db, member, params, body, wanted }) => changeRequest(db, member, params.id, body, wanted),
  )
}
