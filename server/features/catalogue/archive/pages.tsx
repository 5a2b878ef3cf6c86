import { z } from 'zod'
import { MyFiles } from '../../../../web/pages/MyFiles.tsx'
import type { App } from '../../../http/app-type.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { listFiles } from '../files/queries.ts'
import { nextPage } from '../files/show.ts'
import {
  archivedAmong,
  endMembership,
  keepInArchive,
  listArchive,
  listMemberships,
  otherMemberships,
  startMembership,
  takeFromArchive,
} from './queries.ts'
import { archiveList, byFileId, byOfferId } from './schema.ts'

const look = archiveList.extend({ q: z.string().trim().max(200).default('').catch('') })
const mostOthers = 30

/** `/archive`: the member's files and memberships, and the buttons that add and strike out. */
export function archivePages(app: App): void {
  app.get('/archive', { schema: { querystring: look } }, async (request, reply) => {
    const { db, member, query } = request
    const { items, next } = await listArchive(db, member, query)
    const found = query.q ? (await listFiles(db, member, { limit: 12, q: query.q })).items : []
    const have = await archivedAmong(
      db,
      member,
      found.map((file) => file.id),
    )
    const running = await listMemberships(db, member, { limit: 100 })
    const props = {
      archive: items.map((item) => item.file),
      next: next && nextPage(request.url, next),
      q: query.q,
      found: found.map((file) => ({ ...file, inArchive: have.has(file.id) })),
      running: running.items.map((item) => item.offer),
      others: await otherMemberships(db, member, mostOthers),
    }
    return page(request, reply, { title: 'My files', children: <MyFiles {...props} /> })
  })

  app.post('/archive/:fileId/keep', { schema: { params: byFileId } }, async (request, reply) => {
    const { fileId } = request.params
    await keepInArchive(request.db, request.member, fileId)
    return seeOther(reply, backTo(request.body, `/files/${fileId}`), 'archived')
  })

  app.post('/archive/:fileId/take-out', { schema: { params: byFileId } }, async (request, reply) => {
    const { fileId } = request.params
    await takeFromArchive(request.db, request.member, fileId)
    return seeOther(reply, backTo(request.body, `/files/${fileId}`), 'unarchived')
  })

  app.post('/memberships/:offerId/start', { schema: { params: byOfferId } }, async (request, reply) => {
    const { offerId } = request.params
    await startMembership(request.db, request.member, offerId)
    return seeOther(reply, backTo(request.body, `/offers/${offerId}`), 'membership-noted')
  })

  app.post('/memberships/:offerId/end', { schema: { params: byOfferId } }, async (request, reply) => {
    const { offerId } = request.params
    await endMembership(request.db, request.member, offerId)
    return seeOther(reply, backTo(request.body, `/offers/${offerId}`), 'membership-ended')
  })
}

// Only these places are led back to, whatever a form says.
const places = /^\/(archive|(files|offers)\/[0-9a-f-]{36})$/

function backTo(posted: unknown, otherwise: string): string {
  const { back } = (posted ?? {}) as { back?: unknown }
  return typeof back === 'string' && places.test(back) ? back : otherwise
}
