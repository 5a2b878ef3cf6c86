import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { doorLead, Join } from '../../../../web/pages/Doors.tsx'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { readGroup } from '../../../http/group.ts'
import { blank, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, at, forAll } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { newMember } from '../members/schema.ts'
import { acceptInvitation, openInvitation } from './queries.ts'
import { code, joinTries } from './schema.ts'

const open = { ...forAll, ...at(z.object({ code })) }

async function joinPage(reply: FastifyReply, props: Parameters<typeof Join>[0]) {
  const group = await readGroup(reply.request.db)
  const title = `Join ${group?.name ?? 'the group'}`
  return page(reply, { title, lead: doorLead, children: <Join {...props} /> })
}

/** The page behind an invitation's link. Stewards make and withdraw invitations on the members' page. */
export function invitationPages(app: App): void {
  app.get('/invitations/:code', open, async ({ db, params, ip }, reply) => {
    await countTry(db, [`joining from ${placeOf(ip)}`], joinTries, app.now())
    const invitation = await openInvitation(db, params.code, app.now())
    const props = { ...invitation, code: params.code, form: blank() }
    return joinPage(reply, props)
  })

  app.post('/invitations/:code', open, async ({ db, params, body, ip }, reply) => {
    await countTry(db, [`joining from ${placeOf(ip)}`], joinTries, app.now())
    const invitation = await openInvitation(db, params.code, app.now())
    const form = readForm(newMember, body)
    const joined = await form.submit((who) => acceptInvitation(db, params.code, who, app.now()))
    if (joined) {
      await signIn(reply, joined, 'invitation')
      return seeOther(reply, '/', 'welcome')
    }
    reply.code(422)
    const props = { ...invitation, code: params.code, form }
    return joinPage(reply, props)
  })
}
