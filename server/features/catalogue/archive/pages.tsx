import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { figureRowScale, fileWallScale } from '../../../../web/pages/Files.tsx'
import { MyFiles } from '../../../../web/pages/MyFiles.tsx'
import { addressWith } from '../../../http/address.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { type App, at } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { filesById, listFiles } from '../files/queries.ts'
import type { File } from '../files/schema.ts'
import { thinned } from '../measures/drawn.ts'
import type { Offer } from '../offers/schema.ts'
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
  app.get('/archive', { schema: { querystring: look } }, async ({ db, member, query, url }, reply) => {
    const { items, next } = await listArchive(db, member, query)
    const found = query.q ? (await listFiles(db, member, { limit: 12, q: query.q })).items : []
    const foundIds = found.map((file) => file.id)
    const have = await archivedAmong(db, member, foundIds)
    const running = await listMemberships(db, member, { limit: 100 })
    const mine = running.items.map((item) => item.offer)
    const others = await otherMemberships(db, member, mostOthers)
    const openedBy = await drawnFiles(db, member, [...mine, ...others])
    const archive = items.map((item) => item.file)
    const pxPerMm = fileWallScale([...archive, ...found])
    const smallPxPerMm = figureRowScale([...openedBy.values()].flat())
    const drawn = (offer: Offer) => ({
      ...offer,
      drawn: (openedBy.get(offer.id) ?? []).map((file) => thinned(file, smallPxPerMm)),
    })
    const props = {
      archive: archive.map((file) => thinned(file, pxPerMm)),
      pxPerMm,
      smallPxPerMm,
      next: next && addressWith(url, 'after', next),
      q: query.q,
      found: found.map((file) => thinned({ ...file, inArchive: have.has(file.id) }, pxPerMm)),
      running: mine.map(drawn),
      others: others.map(drawn),
    }
    return page(reply, { title: 'My shelf', children: <MyFiles {...props} /> })
  })

  app.post('/archive/:fileId/keep', at(byFileId), async ({ db, member, params: { fileId }, body }, reply) => {
    await keepInArchive(db, member, fileId)
    return seeOther(reply, backTo(body, `/files/${fileId}`), 'archived')
  })

  app.post('/archive/:fileId/take-out', at(byFileId), async ({ db, member, params: { fileId }, body }, reply) => {
    await takeFromArchive(db, member, fileId)
    return seeOther(reply, backTo(body, `/files/${fileId}`), 'unarchived')
  })

  app.post('/memberships/:offerId/start', at(byOfferId), async ({ db, member, params: { offerId }, body }, reply) => {
    await startMembership(db, member, offerId)
    return seeOther(reply, backTo(body, `/offers/${offerId}`), 'membership-noted')
  })

  app.post('/memberships/:offerId/end', at(byOfferId), async ({ db, member, params: { offerId }, body }, reply) => {
    await endMembership(db, member, offerId)
    return seeOther(reply, backTo(body, `/offers/${offerId}`), 'membership-ended')
  })
}

/** So many files of a membership are drawn. */
const mostDrawn = 6

/** The first files that each of the memberships opens, by the membership's id. */
async function drawnFiles(db: Db, viewer: Viewer, offers: Offer[]): Promise<Map<string, File[]>> {
  const firsts = offers.map(({ id, files }) => ({ id, fileIds: files.slice(0, mostDrawn).map((file) => file.id) }))
  const rows = await filesById(db, viewer, [...new Set(firsts.flatMap(({ fileIds }) => fileIds))])
  const files = new Map(rows.map((file) => [file.id, file]))
  return new Map(firsts.map(({ id, fileIds }) => [id, fileIds.flatMap((fileId) => files.get(fileId) ?? [])]))
}

// Only these places are led back to, whatever a form says.
const places = /^\/(archive|(files|offers)\/[0-9a-f-]{36})$/

function backTo(posted: unknown, otherwise: string): string {
  const { back } = (posted ?? {}) as { back?: unknown }
  return typeof back === 'string' && places.test(back) ? back : otherwise
}
