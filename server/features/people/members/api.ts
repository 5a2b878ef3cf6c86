import { type App, answers, byId, forStewards, lists, noContent, ofId } from '../../../http/route.ts'
import { changeSomebody, signSomebodyOut } from './by-request.ts'
import { listMembers, readMember } from './queries.ts'
import { changedMember, memberList, memberSchema } from './schema.ts'

export function membersApi(app: App): void {
  app.get('/members', lists(memberSchema, { querystring: memberList }), ({ db, member, query }) =>
    listMembers(db, member, query),
  )

  app.get('/members/:id', answers(memberSchema, ofId), ({ db, member, params }) => readMember(db, member, params.id))

  app.patch('/members/:id', answers(memberSchema, { params: byId, body: changedMember }), (request) =>
    changeSomebody(request, request.params.id, request.body, request.wanted),
  )

  app.delete('/members/:id/sessions', { ...forStewards, ...noContent(ofId) }, (request) =>
    signSomebodyOut(request, request.params.id),
  )
}
