import { z } from 'zod'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { note } from '../../../http/events.ts'
import { linkTo } from '../../../http/origin.ts'
import { pageQuery } from '../../../http/paging.ts'
import { type App, forAll, forStewards, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { newMember } from '../members/schema.ts'
import { acceptInvitation, invite, openInvitations, withdrawInvitation } from './queries.ts'
import { code, invitationSchema, joinTries, madeInvitation, newInvitation } from './schema.ts'

export function invitationsApi(app: App): void {
  app.post(
    '/invitations',
    { config: { access: 'steward', tellsOnce: true }, ...makes(madeInvitation, { body: newInvitation }) },
    async (request) => {
      const made = await invite(request.db, request.member, request.body, app.now())
      note(request, 'invitation made', { role: made.invitation.role, invitationId: made.invitation.id })
      return { ...made.invitation, url: linkTo(app, `/invitations/${made.code}`) }
    },
  )

  app.get(
    '/invitations',
    { ...forStewards, ...lists(invitationSchema, { querystring: z.object(pageQuery) }) },
    ({ db, query }) => openInvitations(db, app.now(), query),
  )

  app.delete('/invitations/:id', { ...forStewards, ...noContent(ofId) }, async (request) => {
    await withdrawInvitation(request.db, request.params.id, app.now())
    note(request, 'invitation withdrawn', { invitationId: request.params.id })
  })

  app.post(
    '/invitations/:code/accept',
    {
      ...forAll,
      ...makes(z.object({ memberId: z.string() }), { params: z.object({ code }), body: newMember }),
    },
    async ({ db, params, body, ip }, reply) => {
      await countTry(db, [`joining from ${placeOf(ip)}`], joinTries, app.now())
      const joined = await acceptInvitation(db, params.code, body, app.now())
      await signIn(reply, joined, 'invitation')
      return { memberId: joined.id }
    },
  )
}
