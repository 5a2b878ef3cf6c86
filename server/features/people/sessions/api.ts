import { z } from 'zod'
import { note } from '../../../http/events.ts'
import { pageQuery } from '../../../http/paging.ts'
import { Problem } from '../../../http/problem.ts'
import { type App, forAll, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { forgetCookie, sessionHashOf } from '../../../http/session.ts'
import { signOut } from '../../../http/sign-in.ts'
import { role } from '../members/schema.ts'
import { endSession, listSessions, signInByPassword } from './queries.ts'
import { credentials, sessionSchema } from './schema.ts'

const signedIn = z.object({ memberId: z.string(), name: z.string(), role })

export function sessionsApi(app: App): void {
  app.post('/sessions', { ...forAll, ...makes(signedIn, { body: credentials }) }, async ({ body }, reply) => {
    const found = await signInByPassword(reply, body).catch(asUnauthorised)
    return { memberId: found.id, name: found.name, role: found.role }
  })

  app.get('/sessions', lists(sessionSchema, { querystring: z.object(pageQuery) }), (request) =>
    listSessions(request.db, request.member.id, sessionHashOf(request), request.query),
  )

  app.delete('/sessions/:id', noContent(ofId), async (request, reply) => {
    const endedHash = await endSession(request.db, request.member.id, request.params.id)
    note(request, 'sessions ended', { memberId: request.member.id })
    if (endedHash === sessionHashOf(request)) forgetCookie(reply)
  })

  app.delete('/sessions/current', { config: { uncounted: true }, ...noContent() }, (_request, reply) => signOut(reply))
}

// The form shows it as something to mend, REST as not being signed in.
function asUnauthorised(error: unknown): never {
  throw error instanceof Problem && [409, 422].includes(error.status) ? new Problem(401, error.message) : error
}
