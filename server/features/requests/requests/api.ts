import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { changeRequest, listRequests, postRequest, readRequest } from './queries.ts'
import { changedRequest, newRequest, requestList, requestSchema } from './schema.ts'

export function requestsApi(app: App): void {
  app.get(
    '/requests',
    { schema: { querystring: requestList, response: lists(requestSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listRequests(db, member, query)),
  )

  app.post(
    '/requests',
    { schema: { body: newRequest, response: makes(requestSchema) } },
    async ({ db, member, body }, reply) => sendMade(reply, '/requests', await postRequest(db, member, body)),
  )

  app.get(
    '/requests/:id',
    { schema: { params: byId, response: answers(requestSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readRequest(db, member, params.id)),
  )

  app.patch(
    '/requests/:id',
    { schema: { params: byId, body: changedRequest, response: answers(requestSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeRequest(db, member, params.id, body, wantedBy(request)))
    },
  )
}
