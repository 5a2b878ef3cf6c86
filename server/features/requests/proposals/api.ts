import { z } from 'zod'
import { type App, answers, byId, makes, noContent, ofId } from '../../../http/route.ts'
import { readRequest } from '../requests/queries.ts'
import { proposalsOf, propose, readProposal, takeProposalBack } from './queries.ts'
import { newProposal, proposalSchema } from './schema.ts'

export function proposalsApi(app: App): void {
  app.post(
    '/requests/:id/proposals',
    makes(proposalSchema, { params: byId, body: newProposal }),
    async ({ db, member, params, body }, reply) => {
      const made = await propose(db, member, params.id, body)
      reply.header('location', `/api/v1/proposals/${made.id}`)
      return made
    },
  )

  app.get(
    '/requests/:id/proposals',
    answers(z.object({ items: z.array(proposalSchema), next: z.null() }), ofId),
    async ({ db, member, params }) => {
      await readRequest(db, member, params.id)
      return { items: await proposalsOf(db, params.id, member), next: null }
    },
  )

  app.get('/proposals/:id', answers(proposalSchema, ofId), ({ db, member, params }) =>
    readProposal(db, params.id, member),
  )

  app.delete('/proposals/:id', noContent(ofId), ({ db, member, params }) => takeProposalBack(db, member, params.id))
}
