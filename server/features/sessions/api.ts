import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { problems } from '../../http/openapi.ts'
import { Problem } from '../../http/problem.ts'
import { signOut } from '../../http/session.ts'
import { role } from '../members/schema.ts'
import { credentials } from './schema.ts'
import { signInByPassword } from './sign-in.ts'

const signedIn = z.object({ memberId: z.string(), name: z.string(), role })

export function sessionsApi(app: App): void {
  app.post(
    '/sessions',
    {
      config: { access: 'public' },
      schema: { summary: 'Sign in', body: credentials, response: { 201: signedIn, ...problems } },
    },
    async (request, reply) => {
      const found = await signInByPassword(request, reply, request.body).catch(asUnauthorised)
      reply.code(201)
      return { memberId: found.id, name: found.name, role: found.role }
    },
  )

  app.delete(
    '/sessions/current',
    { schema: { summary: 'Sign out', response: { 204: z.null(), ...problems } } },
    async (request, reply) => {
      await signOut(request, reply)
      reply.code(204)
      return null
    },
  )
}

// The form shows it as something to mend, REST as not being signed in.
function asUnauthorised(error: unknown): never {
  throw error instanceof Problem && [409, 422].includes(error.status) ? new Problem(401, error.message) : error
}
