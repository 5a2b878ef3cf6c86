import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { Members } from '../../../../web/pages/Members.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import { note } from '../../../http/events.ts'
import { linkTo } from '../../../http/origin.ts'
import { blank, page, readForm, seeOther } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { unlessGone } from '../../../http/problem.ts'
import { type App, forStewards, withId } from '../../../http/route.ts'
import { invite, newCode, openInvitations, withdrawInvitation } from '../invitations/queries.ts'
import { code, newInvitation } from '../invitations/schema.ts'
import { countBrought, nothing } from './brought.ts'
import { listMembers } from './queries.ts'

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
  const ids = items.map(({ id }) => id)
  const brought = await countBrought(db, ids)
  const members = items.map((who) => ({ ...who, brought: brought.get(who.id) ?? nothing }))
  const props = { members, next, left: left.items, inviting }
  return page(reply, { title: 'Members', children: <Members {...props} /> })
}
