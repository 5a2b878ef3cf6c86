import type { FastifyReply } from 'fastify'
import { Member, MemberLead } from '../../../../web/pages/Member.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { note } from '../../../http/events.ts'
import { linkTo } from '../../../http/origin.ts'
import { blank, madeFrom, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, forStewards, withId } from '../../../http/route.ts'
import type { Said } from '../../../http/said.ts'
import { newCode } from '../invitations/queries.ts'
import { code } from '../invitations/schema.ts'
import { makeWayBack } from '../way-back/queries.ts'
import { countBrought, latestRequestsOf, nothing } from './brought.ts'
import { changeSomebody } from './change-member.ts'
import { printersOf, readMember } from './queries.ts'
import { mayRole, maySignOut, mayState, mayWayBack } from './rules.ts'
import { type Member as Changed, changedMember } from './schema.ts'
import { signSomebodyOut } from './sign-out.ts'

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
  return page(reply, { title: member.name, lead, children: <Member {...props} /> })
}
