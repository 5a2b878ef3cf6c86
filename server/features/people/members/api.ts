import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { changeSomebody } from './change-member.ts'
import { listMembers, readMember } from './queries.ts'
import { changedMember, memberList, memberSchema } from './schema.ts'
import { signSomebodyOut } from './sign-out.ts'

export function membersApi(app: App): void {
  app.get(
    '/members',
    { schema: { querystring: memberList, response: { 200: pageOf(memberSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listMembers(request.db, request.member, request.query)),
  )

  app.get(
    '/members/:id',
    { schema: { params: byId, response: { 200: memberSchema, ...problems } } },
    async (request, reply) => {
      const found = await readMember(request.db, request.member, request.params.id)
      sendVersion(reply, found.version)
      return found
    },
  )

  app.patch(
    '/members/:id',
    {
      schema: {
        description: 'The owner changes roles; stewards let somebody leave or come back, and one may leave oneself.',
        params: byId,
        body: changedMember,
        response: { 200: memberSchema, ...problems },
      },
    },
    async (request, reply) => {
      const { id } = request.params
      const wanted = versionToChange(request, id === request.member.id)
      const changed = await changeSomebody(request, id, request.body, wanted)
      sendVersion(reply, changed.version)
      return changed
    },
  )

  app.delete(
    '/members/:id/sessions',
    { config: { access: 'steward' }, schema: { params: byId, response: noContent } },
    async (request, reply) => {
      await signSomebodyOut(request, request.params.id)
      reply.code(204)
      return null
    },
  )
}
