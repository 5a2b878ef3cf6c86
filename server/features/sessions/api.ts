import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { problems } from '../../http/openapi.ts'
import { Problem } from '../../http/problem.ts'
import { signIn, signOut } from '../../http/session.ts'
import { role } from '../members/schema.ts'
import { memberByPassword } from './queries.ts'
import { credentials } from './schema.ts'

const signedIn = z.object({ memberId: z.string(), name: z.string(), role })

export function sessionsApi(app: App): void {
  app.post(
    '/sessions',
    {
      config: { access: 'public' },
      schema: { summary: 'Sign in', body: credentials, response: { 201: signedIn, ...problems } },
    },
    async (request, reply) => {
      const found = await memberByPassword(request.db, request.body, request.ip, app.now()).catch(asUnauthorised)
      await signIn(request, reply, found.id)
      reply.code(201)
      return { memberId: found.id, name: found.name, role: found.role }
    },
  )

  app.delete(
    '/sessions/current',
    { config: { uncounted: true }, schema: { summary: 'Sign out', response: { 204: z.null(), ...problems } } },
    async (request, reply) => {
      await signOut(request, reply)
      reply.code(204)
      return null
    },
  )
}

// The form shows it as something to mend, REST as not being signed in.
function asUnauthorised(error: unknown): never {
  throw error instanceof Problem && error.status === 422 ? new Problem(401, error.message) : error
}
