import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, noContent } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { changeSomebody } from './change-member.ts'
import { listMembers, readMember } from './queries.ts'
import { changedMember, memberList, memberSchema } from './schema.ts'
import { signSomebodyOut } from './sign-out.ts'

export function membersApi(app: App): void {
  app.get(
    '/members',
    { schema: { querystring: memberList, response: lists(memberSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listMembers(db, member, query)),
  )

  app.get(
    '/members/:id',
    { schema: { params: byId, response: answers(memberSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readMember(db, member, params.id)),
  )

  app.patch(
    '/members/:id',
    {
      schema: {
        description: 'The owner changes roles; stewards let somebody leave or come back, and one may leave oneself.',
        params: byId,
        body: changedMember,
        response: answers(memberSchema),
      },
    },
    async (request, reply) => {
      const { id } = request.params
      const wanted = versionToChange(request, id === request.member.id)
      return sendVersion(reply, await changeSomebody(request, id, request.body, wanted))
    },
  )

  app.delete(
    '/members/:id/sessions',
    { config: { access: 'steward' }, schema: { params: byId, response: noContent } },
    (request) => signSomebodyOut(request, request.params.id),
  )
}
