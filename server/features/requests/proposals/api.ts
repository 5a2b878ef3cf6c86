import { z } from 'zod'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { readRequest } from '../requests/queries.ts'
import { proposalsOf, propose, readProposal, takeProposalBack } from './queries.ts'
import { newProposal, proposalSchema } from './schema.ts'

export function proposalsApi(app: App): void {
  app.post(
    '/requests/:id/proposals',
    { schema: { params: byId, body: newProposal, response: { 201: proposalSchema, ...problems } } },
    async (request, reply) => {
      const made = await propose(request.db, request.member, request.params.id, request.body)
      reply.code(201).header('location', `/api/v1/proposals/${made.id}`)
      return made
    },
  )

  app.get(
    '/requests/:id/proposals',
    {
      schema: {
        params: byId,
        response: { 200: z.object({ items: z.array(proposalSchema), next: z.null() }), ...problems },
      },
    },
    async (request) => {
      await readRequest(request.db, request.member, request.params.id)
      return { items: await proposalsOf(request.db, request.params.id, request.member), next: null }
    },
  )

  app.get('/proposals/:id', { schema: { params: byId, response: { 200: proposalSchema, ...problems } } }, (request) =>
    readProposal(request.db, request.params.id, request.member),
  )

  app.delete('/proposals/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    await takeProposalBack(request.db, request.member, request.params.id)
    reply.code(204)
    return null
  })
}
