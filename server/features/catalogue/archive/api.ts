import type { FastifyReply } from 'fastify'
import type { App } from '../../../http/app-type.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import {
  endMembership,
  keepInArchive,
  listArchive,
  listMemberships,
  startMembership,
  takeFromArchive,
} from './queries.ts'
import { archivedSchema, archiveList, byFileId, byOfferId, runningSchema } from './schema.ts'

function done(reply: FastifyReply): null {
  reply.code(204)
  return null
}

/** What the caller has: nobody sees another's. */
export function archiveApi(app: App): void {
  app.get(
    '/archive',
    { schema: { querystring: archiveList, response: { 200: pageOf(archivedSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listArchive(request.db, request.member, request.query)),
  )

  app.put('/archive/:fileId', { schema: { params: byFileId, response: noContent } }, async (request, reply) => {
    await keepInArchive(request.db, request.member, request.params.fileId)
    return done(reply)
  })

  app.delete('/archive/:fileId', { schema: { params: byFileId, response: noContent } }, async (request, reply) => {
    await takeFromArchive(request.db, request.member, request.params.fileId)
    return done(reply)
  })

  app.get(
    '/memberships',
    { schema: { querystring: archiveList, response: { 200: pageOf(runningSchema), ...problems } } },
    async (request, reply) =>
      sendPage(request, reply, await listMemberships(request.db, request.member, request.query)),
  )

  app.put('/memberships/:offerId', { schema: { params: byOfferId, response: noContent } }, async (request, reply) => {
    await startMembership(request.db, request.member, request.params.offerId)
    return done(reply)
  })

  app.delete(
    '/memberships/:offerId',
    { schema: { params: byOfferId, response: noContent } },
    async (request, reply) => {
      await endMembership(request.db, request.member, request.params.offerId)
      return done(reply)
    },
  )
}
