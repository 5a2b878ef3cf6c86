import { z } from 'zod'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes, noContent } from '../../../http/openapi.ts'
import { readRequest } from '../requests/queries.ts'
import { proposalsOf, propose, readProposal, takeProposalBack } from './queries.ts'
import { newProposal, proposalSchema } from './schema.ts'

export function proposalsApi(app: App): void {
  app.post(
    '/requests/:id/proposals',
    { schema: { params: byId, body: newProposal, response: makes(proposalSchema) } },
    async ({ db, member, params, body }, reply) => {
      const made = await propose(db, member, params.id, body)
      reply.header('location', `/api/v1/proposals/${made.id}`)
      return made
    },
  )

  app.get(
    '/requests/:id/proposals',
    {
      schema: {
        params: byId,
        response: answers(z.object({ items: z.array(proposalSchema), next: z.null() })),
      },
    },
    async ({ db, member, params }) => {
      await readRequest(db, member, params.id)
      return { items: await proposalsOf(db, params.id, member), next: null }
    },
  )

  app.get('/proposals/:id', { schema: { params: byId, response: answers(proposalSchema) } }, ({ db, member, params }) =>
    readProposal(db, params.id, member),
  )

  app.delete('/proposals/:id', { schema: { params: byId, response: noContent } }, ({ db, member, params }) =>
    takeProposalBack(db, member, params.id),
  )
}
