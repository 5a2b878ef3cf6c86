import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { askerOf, changeRequest, listRequests, postRequest, readRequest } from './queries.ts'
import { changedRequest, newRequest, requestList, requestSchema } from './schema.ts'

export function requestsApi(app: App): void {
  app.get(
    '/requests',
    { schema: { querystring: requestList, response: { 200: pageOf(requestSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listRequests(request.db, request.member, request.query)),
  )

  app.post(
    '/requests',
    { schema: { body: newRequest, response: { 201: requestSchema, ...problems } } },
    async (request, reply) => {
      const posted = await postRequest(request.db, request.member, request.body)
      sendVersion(reply, posted.version).code(201).header('location', `/api/v1/requests/${posted.id}`)
      return posted
    },
  )

  app.get(
    '/requests/:id',
    { schema: { params: byId, response: { 200: requestSchema, ...problems } } },
    async (request, reply) => {
      const found = await readRequest(request.db, request.member, request.params.id)
      sendVersion(reply, found.version)
      return found
    },
  )

  app.patch(
    '/requests/:id',
    { schema: { params: byId, body: changedRequest, response: { 200: requestSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const isOwn = (await askerOf(request.db, id)) === request.member.id
      const wanted = versionToChange(request, isOwn)
      const changed = await changeRequest(request.db, request.member, id, request.body, wanted)
      sendVersion(reply, changed.version)
      return changed
    },
  )
}
