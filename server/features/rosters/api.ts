import type { App } from '../../http/app-type.ts'
import { byId } from '../../http/fields.ts'
import { noContent, problems } from '../../http/openapi.ts'
import { pageOf, sendPage } from '../../http/paging.ts'
import { sendVersion, versionToChange } from '../../http/version.ts'
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
    { schema: { querystring: rosterList, response: { 200: pageOf(rosterRow), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listRosters(request.db, request.member, request.query)),
  )

  app.post(
    '/rosters',
    { bodyLimit: pasteLimit, schema: { body: newRoster, response: { 201: rosterSchema, ...problems } } },
    async (request, reply) => {
      const roster = await addRoster(request.db, request.member, request.body)
      sendVersion(reply, roster.version).code(201).header('location', `/api/v1/rosters/${roster.id}`)
      return roster
    },
  )
}

/** One roster, its change, copy and end. */
function rosterApi(app: App): void {
  app.get(
    '/rosters/:id',
    { schema: { params: byId, response: { 200: rosterSchema, ...problems } } },
    async (request, reply) => {
      const roster = await readRoster(request.db, request.member, request.params.id)
      sendVersion(reply, roster.version)
      return roster
    },
  )

  app.patch(
    '/rosters/:id',
    { schema: { params: byId, body: changedRoster, response: { 200: rosterSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const roster = await changeRoster(db, member, params.id, body, versionToChange(request, true))
      sendVersion(reply, roster.version)
      return roster
    },
  )

  app.delete('/rosters/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    await removeRoster(request.db, request.member, request.params.id, versionToChange(request, true))
    reply.code(204)
    return null
  })

  app.post(
    '/rosters/:id/copy',
    { schema: { params: byId, body: copiedRoster.nullish(), response: { 201: rosterSchema, ...problems } } },
    async (request, reply) => {
      const roster = await copyRoster(request.db, request.member, request.params.id, request.body?.name)
      sendVersion(reply, roster.version).code(201).header('location', `/api/v1/rosters/${roster.id}`)
      return roster
    },
  )
}

/** What stands in a roster, and asking the group for it. */
function entriesApi(app: App): void {
  app.post(
    '/rosters/:id/entries',
    {
      bodyLimit: pasteLimit,
      schema: { params: byId, body: newEntries, response: { 201: addedEntries, ...problems } },
    },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { items, version } = await addEntries(db, member, params.id, body, versionToChange(request, true))
      sendVersion(reply, version).code(201).header('location', `/api/v1/rosters/${params.id}`)
      return { items }
    },
  )

  app.patch(
    '/rosters/:id/entries/:entryId',
    { schema: { params: byEntry, body: changedEntry, response: { 200: entrySchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { entry, version } = await changeEntry(db, member, params, body, versionToChange(request, true))
      sendVersion(reply, version)
      return entry
    },
  )

  app.delete(
    '/rosters/:id/entries/:entryId',
    { schema: { params: byEntry, response: noContent } },
    async (request, reply) => {
      await removeEntry(request.db, request.member, request.params, versionToChange(request, true))
      reply.code(204)
      return null
    },
  )

  app.post(
    '/rosters/:id/requests',
    { schema: { params: byId, body: asked, response: { 201: askedRequests, ...problems } } },
    async (request, reply) => {
      const items = await askForEntries(request.db, request.member, request.params.id, request.body)
      reply.code(201)
      return { items }
    },
  )
}
