import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addUnit, changeUnit, listUnits, readUnit, unitAuthor } from './queries.ts'
import { changedUnit, newUnit, unitList, unitSchema } from './schema.ts'

export function unitsApi(app: App): void {
  app.get(
    '/units',
    { schema: { querystring: unitList, response: { 200: pageOf(unitSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listUnits(request.db, request.query)),
  )

  app.post(
    '/units',
    { schema: { body: newUnit, response: { 201: unitSchema, ...problems } } },
    async (request, reply) => {
      const unit = await addUnit(request.db, request.member.id, request.body)
      sendVersion(reply, unit.version).code(201).header('location', `/api/v1/units/${unit.id}`)
      return unit
    },
  )

  app.get(
    '/units/:id',
    { schema: { params: byId, response: { 200: unitSchema, ...problems } } },
    async (request, reply) => {
      const unit = await readUnit(request.db, request.params.id)
      sendVersion(reply, unit.version)
      return unit
    },
  )

  app.patch(
    '/units/:id',
    { schema: { params: byId, body: changedUnit, response: { 200: unitSchema, ...problems } } },
    async (request, reply) => {
      const { createdBy } = await unitAuthor(request.db, request.params.id)
      const wanted = versionToChange(request, createdBy === request.member.id)
      const unit = await changeUnit(request.db, request.member, request.params.id, request.body, wanted)
      sendVersion(reply, unit.version)
      return unit
    },
  )
}
