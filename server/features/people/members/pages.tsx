import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { Member, MemberLead } from '../../../../web/pages/Member.tsx'
import { Members } from '../../../../web/pages/Members.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { note } from '../../../http/events.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm, versionOf } from '../../../http/form.ts'
import { linkTo } from '../../../http/origin.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { unlessGone } from '../../../http/problem.ts'
import { invite, newCode, openInvitations, withdrawInvitation } from '../invitations/queries.ts'
import { code, newInvitation } from '../invitations/schema.ts'
import { makeWayBack } from '../way-back/queries.ts'
import { countBrought, latestRequestsOf, nothing } from './brought.ts'
import { changeSomebody } from './change-member.ts'
import { listMembers, printersOf, readMember } from './queries.ts'
import { mayRole, maySignOut, mayState, mayWayBack } from './rules.ts'
import { changedMember } from './schema.ts'
import { signSomebodyOut } from './sign-out.ts'

const steward = { access: 'steward' as const }
const usual = { role: 'member', uses: '1', expiresInDays: '7' }

/** `/members`: who is here and how to get in; `/members/:id`: one of them. One's own things are at `/me`. */
export function memberPages(app: App): void {
  const query = z.object(pageQuery)

  app.get('/members', { schema: { querystring: query } }, (request, reply) =>
    membersPage(request, reply, request.query),
  )

  // No `once` here: it would keep the page, and with it the link. The code that the form carries does its work.
  app.post('/members/invitations', { config: { ...steward, tellsOnce: true } }, async (request, reply) => {
    const { code: given, once: _, ...fields } = (request.body ?? {}) as Record<string, unknown>
    const form = readForm(newInvitation, fields)
    const carried = code.safeParse(given).data ?? newCode()
    const made = await form.submit((data) => invite(request.db, request.member, data, app.now(), carried))
    if (made) note(request, 'invitation made', { role: made.invitation.role, invitationId: made.invitation.id })
    else reply.code(422)
    const link = made && linkTo(app, `/invitations/${made.code}`)
    return membersPage(request, reply, query.parse({}), link ? { link } : { form })
  })

  app.post(
    '/members/invitations/:id/withdraw',
    { config: steward, schema: { params: byId } },
    async (request, reply) => {
      await withdrawInvitation(request.db, request.params.id, app.now()).catch(unlessGone)
      note(request, 'invitation withdrawn', { invitationId: request.params.id })
      return seeOther(reply, '/members#invite', 'invitation-withdrawn')
    },
  )

  app.get('/members/:id', { schema: { params: byId } }, (request, reply) =>
    memberPage(request, reply, request.params.id),
  )

  app.post('/members/:id/role', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedMember, request.body)
    const wanted = versionOf(request.body) ?? -1
    const done = await form.submit((change) => changeSomebody(request, id, change, wanted))
    if (done) return seeOther(reply, `/members/${id}`, done.role === 'owner' ? 'ownership-handed' : 'role-changed')
    reply.code(422)
    return memberPage(request, reply, id, { form })
  })

  // As with invitations: no `once`, since it would keep the link.
  app.post(
    '/members/:id/way-back',
    { config: { ...steward, tellsOnce: true }, schema: { params: byId } },
    async (request, reply) => {
      const { id } = request.params
      const given = code.safeParse((request.body as { code?: unknown } | undefined)?.code).data ?? newCode()
      await makeWayBack(request.db, request.member, id, given, app.now())
      note(request, 'way back made', { memberId: id })
      const link = linkTo(app, `/way-back/${given}`)
      return memberPage(request, reply, id, { link })
    },
  )

  app.post('/members/:id/sign-out', { config: steward, schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    await signSomebodyOut(request, id)
    return seeOther(reply, `/members/${id}`, 'member-signed-out')
  })

  app.post('/members/:id/state', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedMember, request.body)
    const wanted = versionOf(request.body) ?? -1
    const done = await form.submit((change) => changeSomebody(request, id, change, wanted))
    if (done) return seeOther(reply, `/members/${id}`, done.state === 'left' ? 'member-left' : 'member-back')
    reply.code(422)
    return memberPage(request, reply, id, { form })
  })
}

interface Shown {
  form?: FormState
  /** A way back in that was just made; shown this once. */
  link?: string
}

interface Invited {
  form?: FormState
  link?: string
}

async function membersPage(
  request: FastifyRequest,
  reply: FastifyReply,
  query: { limit: number; after?: string | undefined },
  { form = blank(usual), link }: Invited = {},
) {
  const { db, member } = request
  const { items, next } = await listMembers(db, member, { ...query, state: 'active' })
  const left = await listMembers(db, member, { limit: 100, state: 'left' })
  const open = isSteward(member) ? await openInvitations(db, request.server.now(), { limit: 100 }) : null
  const maySteward = member.role === 'owner'
  const inviting = open && { form, link, hidden: { code: newCode() }, maySteward, open: open.items }
  const brought = await countBrought(
    db,
    items.map(({ id }) => id),
  )
  const members = items.map((who) => ({ ...who, brought: brought.get(who.id) ?? nothing }))
  const props = { members, next, left: left.items, inviting }
  return page(request, reply, { title: 'Members', children: <Members {...props} /> })
}

async function memberPage(request: FastifyRequest, reply: FastifyReply, id: string, { form, link }: Shown = {}) {
  const { db, member: viewer } = request
  const member = await readMember(db, viewer, id)
  const by = { ...viewer, state: 'active' as const }
  const props = {
    member,
    printers: await printersOf(db, id),
    requests: await latestRequestsOf(db, id),
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
  const brought = (await countBrought(db, [id])).get(id) ?? nothing
  const lead = <MemberLead member={member} brought={brought} isMe={props.isMe} />
  return page(request, reply, { title: member.name, lead, children: <Member {...props} /> })
}
