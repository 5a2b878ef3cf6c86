import { type App, answers, byId, lists, makes, noContent, ofId, sameUntilWritten } from '../../http/route.ts'
import { addEntries, askForEntries, changeEntry, removeEntry } from './changes.ts'
import { looksUp, looksUpCopied } from './looked-up.ts'
import { addRoster, changeRoster, copyRoster, listRosters, readRoster, removeRoster } from './queries.ts'
import {
  addedEntries,
  asked,
  askedRequests,
  byEntry,
  changedEntry,
  changedRoster,
  copiedRoster,
  entrySchema,
  newEntries,
  newRoster,
  rosterList,
  rosterRow,
  rosterSchema,
} from './schema.ts'

/** A pasted list may be longer than other bodies: what is too long is told in lines, not in bytes. */
export const pasteLimit = 2 * 1024 * 1024

/** Rosters are changed by their owner; the others read and copy those that are shared. */
export function rostersApi(app: App): void {
  listApi(app)
  rosterApi(app)
  entriesApi(app)
}

function listApi(app: App): void {
  app.get('/rosters', lists(rosterRow, { querystring: rosterList }), ({ db, member, query }) =>
    listRosters(db, member, query),
  )

  app.post(
    '/rosters',
    { bodyLimit: pasteLimit, ...looksUp, ...makes(rosterSchema, { body: newRoster }) },
    ({ db, member, body, lookedUp }) => addRoster(db, member, body, lookedUp),
  )
}

/** One roster, its change, copy and end. */
function rosterApi(app: App): void {
  app.get('/rosters/:id', { ...sameUntilWritten, ...answers(rosterSchema, ofId) }, ({ db, member, params }) =>
    readRoster(db, member, params.id),
  )

  app.patch(
    '/rosters/:id',
    answers(rosterSchema, { params: byId, body: changedRoster }),
    ({ db, member, params, body, wanted }) => changeRoster(db, member, params.id, body, wanted),
  )

  app.delete('/rosters/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    removeRoster(db, member, params.id, wanted),
  )

  app.post(
    '/rosters/:id/copy',
    { ...looksUpCopied, ...makes(rosterSchema, { params: byId, body: copiedRoster.nullish() }) },
    async ({ db, member, params, body, lookedUp }, reply) => {
      const id = await copyRoster(db, member, params.id, body?.name)
      reply.header('location', `/api/v1/rosters/${id}`)
      return readRoster(db, member, id, lookedUp)
    },
  )
}

/** What stands in a roster, and asking the group for it. */
function entriesApi(app: App): void {
  app.post(
    '/rosters/:id/entries',
    { bodyLimit: pasteLimit, ...looksUp, ...makes(addedEntries, { params: byId, body: newEntries }) },
    async ({ db, member, params, body, lookedUp: known, wanted }, reply) => {
      const { items, version } = await addEntries(db, member, params.id, { ...body, known }, wanted)
      reply.header('location', `/api/v1/rosters/${params.id}`).header('etag', `"${version}"`)
      return { items }
    },
  )

  app.patch(
    '/rosters/:id/entries/:entryId',
    answers(entrySchema, { params: byEntry, body: changedEntry }),
    async ({ db, member, params, body, wanted }, reply) => {
      const { entry, version } = await changeEntry(db, member, params, body, wanted)
      reply.header('etag', `"${version}"`)
      return entry
    },
  )

  app.delete('/rosters/:id/entries/:entryId', noContent({ params: byEntry }), ({ db, member, params, wanted }) =>
    removeEntry(db, member, params, wanted),
  )

  app.post(
    '/rosters/:id/requests',
    makes(askedRequests, { params: byId, body: asked }),
    async ({ db, member, params, body }) => {
      const items = await askForEntries(db, member, params.id, body)
      return { items }
    },
  )
}
