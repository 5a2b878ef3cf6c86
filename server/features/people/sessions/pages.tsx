import type { FastifyReply } from 'fastify'
import { doorLead, SignIn } from '../../../../web/pages/Doors.tsx'
import { readGroup } from '../../../http/group.ts'
import { blank, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, forAll } from '../../../http/route.ts'
import { signOut } from '../../../http/sign-in.ts'
import { signInByPassword } from './queries.ts'
import { nextPath } from './rules.ts'
import { credentials } from './schema.ts'

function door(reply: FastifyReply, props: Parameters<typeof SignIn>[0]) {
  return page(reply, { title: 'Sign in', lead: doorLead, children: <SignIn {...props} /> })
}

export function sessionPages(app: App): void {
  app.get('/sign-in', forAll, async ({ db, query }, reply) => {
    const group = await readGroup(db)
    if (!group) return seeOther(reply, '/setup')
    const next = nextPath((query as { next?: unknown }).next)
    const props = { form: blank(), next, isDemo: group.isDemo }
    return door(reply, props)
  })

  app.post('/sign-in', forAll, async (request, reply) => {
    const { next: wanted, ...body } = (request.body ?? {}) as Record<string, unknown>
    const next = nextPath(wanted)
    const form = readForm(credentials, body)
    const found = await form.submit((given) => signInByPassword(reply, given))
    if (found) return seeOther(reply, next)
    reply.code(422)
    const isDemo = (await readGroup(request.db))?.isDemo ?? false
    return door(reply, { form, next, isDemo })
  })

  app.post('/sign-out', forAll, async (_request, reply) => {
    await signOut(reply)
    return seeOther(reply, '/sign-in', 'signed-out')
  })
}
