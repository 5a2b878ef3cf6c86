import type { FastifyReply, FastifyRequest } from 'fastify'
import { Account } from '../../../../web/pages/Account.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import { note } from '../../../http/events.ts'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { unlessGone } from '../../../http/problem.ts'
import { type App, withId } from '../../../http/route.ts'
import { endSessions, forgetCookie, sessionHashOf } from '../../../http/session.ts'
import { changeSomebody } from '../members/by-request.ts'
import { endSession, listSessions } from '../sessions/queries.ts'
import {
  changeOneself,
  countPasswordTry,
  printersToUse,
  readMe,
  resinsToUse,
  usualPrinter,
  usualResin,
} from './queries.ts'
import { aboutForm, addressForm, passwordForm } from './schema.ts'

type Refused = Partial<Record<'about' | 'address' | 'password', FormState>>

/** `/me`: what one changes about oneself. */
export function mePages(app: App): void {
  app.get('/me', (_request, reply) => mePage(reply))
  // Where one would look for it.
  app.get('/account', (_request, reply) => reply.redirect('/me', 303))

  app.post('/me', async ({ body }, reply) => {
    const form = readForm(aboutForm, body)
    const done = await form.submit((change) => changeOneself(reply, change))
    return done ? seeOther(reply, '/me', 'saved') : refuse(reply, { about: form })
  })

  // Before the handler and its transaction, which takes back what it wrote when the form is refused.
  const preHandler = (request: FastifyRequest) => countPasswordTry(request.db, request.member.id, app.now())

  app.post('/me/address', { config: { hearsSecret: true }, preHandler }, async ({ body }, reply) => {
    const form = readForm(addressForm, body)
    const done = await form.submit((change) => changeOneself(reply, change))
    return done ? seeOther(reply, '/me', 'address-changed') : refuse(reply, { address: form })
  })

  app.post('/me/password', { config: { hearsSecret: true }, preHandler }, async ({ body }, reply) => {
    const form = readForm(passwordForm, body)
    const done = await form.submit((change) => changeOneself(reply, change))
    return done ? seeOther(reply, '/me', 'password-changed') : refuse(reply, { password: form })
  })

  app.post('/me/sign-out-others', async (request, reply) => {
    await endSessions(request.db, request.member.id, sessionHashOf(request))
    note(request, 'sessions ended', { memberId: request.member.id })
    return seeOther(reply, '/me', 'signed-out-elsewhere')
  })

  app.post('/me/sessions/:id/end', withId, async (request, reply) => {
    await endSession(request.db, request.member.id, request.params.id).catch(unlessGone)
    note(request, 'sessions ended', { memberId: request.member.id })
    return seeOther(reply, '/me#sessions', 'session-ended')
  })

  app.post('/me/leave', async (request, reply) => {
    await changeSomebody(request, request.member.id, { state: 'left' })
    forgetCookie(reply)
    return seeOther(reply, '/sign-in', isSteward(request.member) ? 'steward-left-group' : 'left-group')
  })
}

function refuse(reply: FastifyReply, refused: Refused) {
  return mePage(reply.code(422), refused)
}

async function mePage(reply: FastifyReply, refused: Refused = {}) {
  const { db, member } = reply.request
  const me = await readMe(db, member.id)
  const sessions = await listSessions(db, me.id, sessionHashOf(reply.request), { limit: 100 })
  const about = blank({
    name: me.name,
    defaultPrinterId: me.defaultPrinterId ?? '',
    defaultResinId: me.defaultResinId ?? '',
    defaultCrowding: me.defaultCrowding,
  })
  const props = {
    id: me.id,
    role: me.role,
    email: me.email,
    printers: await printersToUse(db, member),
    resins: await resinsToUse(db, member),
    usual: { printer: await usualPrinter(db, me), resin: await usualResin(db, me) },
    about,
    address: blank({ email: me.email }),
    password: blank(),
    sessions: sessions.items,
    hidden: { about: once(), address: once(), password: once(), others: once() },
    ...refused,
  }
  const lead = `You are ${me.role === 'owner' ? 'the owner' : `a ${me.role}`} of ${member.group.name}.`
  return page(reply, { title: 'About you', lead, children: <Account {...props} /> })
}
