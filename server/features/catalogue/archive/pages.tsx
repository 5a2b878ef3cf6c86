import { z } from 'zod'
import { fileWallScale } from '../../../../web/pages/Files.tsx'
import { MyFiles } from '../../../../web/pages/MyFiles.tsx'
import { addressWith } from '../../../http/address.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { type App, at } from '../../../http/route.ts'
import { listFiles } from '../files/queries.ts'
import { thinned } from '../measures/drawn.ts'
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
/** As many as a phone shows in a few screens, above the memberships; looking a file up tells of all of them. */
const shownAtOnce = 12

/** `/archive`: the member's files and memberships, and the buttons that add and strike out. */
export function archivePages(app: App): void {
  app.get('/archive', { schema: { querystring: look } }, async ({ db, member, query, url }, reply) => {
    const { items, next } = await listArchive(db, member, { ...query, limit: shownAtOnce })
    const found = query.q ? (await listFiles(db, member, { limit: 12, q: query.q })).items : []
    const foundIds = found.map((file) => file.id)
    const have = await archivedAmong(db, member, foundIds)
    const running = await listMemberships(db, member, { limit: 100 })
    const archive = items.map((item) => item.file)
    const pxPerMm = fileWallScale([...archive, ...found])
    const props = {
      archive: archive.map((file) => thinned(file, pxPerMm)),
      pxPerMm,
      next: next && addressWith(url, 'after', next),
      q: query.q,
      found: found.map((file) => thinned({ ...file, inArchive: have.has(file.id) }, pxPerMm)),
      running: running.items.map((item) => item.offer),
      others: await otherMemberships(db, member, mostOthers),
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

// Only these places are led back to, whatever a form says.
const places = /^\/(archive|(files|offers)\/[0-9a-f-]{36})$/

function backTo(posted: unknown, otherwise: string): string {
  const { back } = (posted ?? {}) as { back?: unknown }
  return typeof back === 'string' && places.test(back) ? back : otherwise
}
