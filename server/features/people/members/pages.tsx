import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { Member, MemberLead } from '../../../../web/pages/Member.tsx'
import { Members } from '../../../../web/pages/Members.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import { note } from '../../../http/events.ts'
import { linkTo } from '../../../http/origin.ts'
import { blank, madeFrom, page, readForm, seeOther } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { unlessGone } from '../../../http/problem.ts'
import { type App, forStewards, withId } from '../../../http/route.ts'
import type { Said } from '../../../http/said.ts'
import { invite, newCode, openInvitations, withdrawInvitation } from '../invitations/queries.ts'
import { code, newInvitation } from '../invitations/schema.ts'
import { makeWayBack } from '../way-back/queries.ts'
import { changeSomebody, signSomebodyOut } from './by-request.ts'
import { listMembers, printersOf, readMember } from './queries.ts'
import { mayRole, maySignOut, mayState, mayWayBack } from './rules.ts'
import { type Member as Changed, changedMember } from './schema.ts'

/** `/members/:id`: one member, and what the owner and the stewards may do about them. One's own things are at `/me`. */
export function memberPages(app: App): void {
  app.get('/members/:id', withId, ({ params }, reply) => memberPage(reply, params.id))

  app.post('/members/:id/role', withId, ({ params }, reply) =>
    change(reply, params.id, ({ role }) => (role === 'owner' ? 'ownership-handed' : 'role-changed')),
  )

  app.post('/members/:id/state', withId, ({ params }, reply) =>
    change(reply, params.id, ({ state }) => (state === 'left' ? 'member-left' : 'member-back')),
  )

  // As with invitations: no `once`, since it would keep the link.
  app.post(
    '/members/:id/way-back',
    { config: { access: 'steward', tellsOnce: true }, ...withId },
    async (request, reply) => {
      const { id } = request.params
      const given = code.safeParse((request.body as { code?: unknown } | undefined)?.code).data ?? newCode()
      await makeWayBack(request.db, request.member, id, given, app.now())
      note(request, 'way back made', { memberId: id })
      const link = linkTo(app, `/way-back/${given}`)
      return memberPage(reply, id, { link })
    },
  )

  app.post('/members/:id/sign-out', { ...forStewards, ...withId }, async (request, reply) => {
    const { id } = request.params
    await signSomebodyOut(request, id)
    return seeOther(reply, `/members/${id}`, 'member-signed-out')
  })
}

async function change(reply: FastifyReply, id: string, said: (changed: Changed) => Said) {
  const form = readForm(changedMember, reply.request.body)
  const wanted = reply.request.wanted ?? -1
  const done = await form.submit((change) => changeSomebody(reply.request, id, change, wanted))
  return done ? seeOther(reply, `/members/${id}`, said(done)) : memberPage(reply.code(422), id, { form })
}

interface Shown {
  form?: FormState
  /** A way back in that was just made; shown this once. */
  link?: string
}

async function memberPage(reply: FastifyReply, id: string, { form, link }: Shown = {}) {
  const { db, member: viewer } = reply.request
  const member = await readMember(db, viewer, id)
  const by = { ...viewer, state: 'active' as const }
  const props = {
    member,
    printers: await printersOf(db, id),
    isMe: id === viewer.id,
    mayRole: mayRole(by, member),
    mayState: mayState(by, member),
    mayWayBack: mayWayBack(by, member),
    maySignOut: maySignOut(by, member),
    link,
    code: newCode(),
    form: form ?? blank({ role: member.role }),
    hidden: madeFrom(member.version),
  }
  const lead = <MemberLead member={member} isMe={props.isMe} />
  return page(reply, { title: member.name, lead, children: <Member {...props} /> })
}

const usual = { role: 'member', uses: '1', expiresInDays: '7' }

/** `/members`: who is here, and how to get in. */
export function memberListPages(app: App): void {
  const query = z.object(pageQuery)

  app.get('/members', { schema: { querystring: query } }, ({ query }, reply) => membersPage(reply, query))

  // No `once` here: it would keep the page, and with it the link. The code that the form carries does its work.
  app.post('/members/invitations', { config: { access: 'steward', tellsOnce: true } }, async (request, reply) => {
    const { code: given, once: _, ...fields } = (request.body ?? {}) as Record<string, unknown>
    const form = readForm(newInvitation, fields)
    const carried = code.safeParse(given).data ?? newCode()
    const made = await form.submit((data) => invite(request.db, request.member, data, app.now(), carried))
    if (made) note(request, 'invitation made', { role: made.invitation.role, invitationId: made.invitation.id })
    else reply.code(422)
    const link = made && linkTo(app, `/invitations/${made.code}`)
    return membersPage(reply, query.parse({}), link ? { link } : { form })
  })

  app.post('/members/invitations/:id/withdraw', { ...forStewards, ...withId }, async (request, reply) => {
    await withdrawInvitation(request.db, request.params.id, app.now()).catch(unlessGone)
    note(request, 'invitation withdrawn', { invitationId: request.params.id })
    return seeOther(reply, '/members#invite', 'invitation-withdrawn')
  })
}

interface Invited {
  form?: FormState
  link?: string
}

async function membersPage(
  reply: FastifyReply,
  query: { limit: number; after?: string | undefined },
  { form = blank(usual), link }: Invited = {},
) {
  const { db, member, server } = reply.request
  const { items, next } = await listMembers(db, member, { ...query, state: 'active' })
  const left = await listMembers(db, member, { limit: 100, state: 'left' })
  const open = isSteward(member) ? await openInvitations(db, server.now(), { limit: 100 }) : null
  const maySteward = member.role === 'owner'
  const inviting = open && { form, link, hidden: { code: newCode() }, maySteward, open: open.items }
  const props = { members: items, next, left: left.items, inviting }
  return page(reply, { title: 'Members', children: <Members {...props} /> })
}
