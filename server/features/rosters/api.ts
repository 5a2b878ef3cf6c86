import type { App } from '../../http/app-type.ts'
import { byId } from '../../http/fields.ts'
import { answers, lists, makes, noContent } from '../../http/openapi.ts'
import { sendPage } from '../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../http/version.ts'
import { askForEntries } from './asking.ts'
import { addEntries, changeEntry, removeEntry } from './changes.ts'
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
  app.get(
    '/rosters',
    { schema: { querystring: rosterList, response: lists(rosterRow) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listRosters(db, member, query)),
  )

  app.post(
    '/rosters',
    { bodyLimit: pasteLimit, schema: { body: newRoster, response: makes(rosterSchema) } },
    async ({ db, member, body }, reply) => sendMade(reply, '/rosters', await addRoster(db, member, body)),
  )
}

/** One roster, its change, copy and end. */
function rosterApi(app: App): void {
  app.get(
    '/rosters/:id',
    { schema: { params: byId, response: answers(rosterSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readRoster(db, member, params.id)),
  )

  app.patch(
    '/rosters/:id',
    { schema: { params: byId, body: changedRoster, response: answers(rosterSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeRoster(db, member, params.id, body, versionToChange(request, true)))
    },
  )

  app.delete('/rosters/:id', { schema: { params: byId, response: noContent } }, (request) =>
    removeRoster(request.db, request.member, request.params.id, versionToChange(request, true)),
  )

  app.post(
    '/rosters/:id/copy',
    { schema: { params: byId, body: copiedRoster.nullish(), response: makes(rosterSchema) } },
    async ({ db, member, params, body }, reply) =>
      sendMade(reply, '/rosters', await copyRoster(db, member, params.id, body?.name)),
  )
}

/** What stands in a roster, and asking the group for it. */
function entriesApi(app: App): void {
  app.post(
    '/rosters/:id/entries',
    {
      bodyLimit: pasteLimit,
      schema: { params: byId, body: newEntries, response: makes(addedEntries) },
    },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { items, version } = await addEntries(db, member, params.id, body, versionToChange(request, true))
      sendMade(reply, '/rosters', { id: params.id, version })
      return { items }
    },
  )

  app.patch(
    '/rosters/:id/entries/:entryId',
    { schema: { params: byEntry, body: changedEntry, response: answers(entrySchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { entry, version } = await changeEntry(db, member, params, body, versionToChange(request, true))
      sendVersion(reply, { version })
      return entry
    },
  )

  app.delete('/rosters/:id/entries/:entryId', { schema: { params: byEntry, response: noContent } }, (request) =>
    removeEntry(request.db, request.member, request.params, versionToChange(request, true)),
  )

  app.post(
    '/rosters/:id/requests',
    { schema: { params: byId, body: asked, response: makes(askedRequests) } },
    async ({ db, member, params, body }) => {
      const items = await askForEntries(db, member, params.id, body)
      return { items }
    },
  )
}
