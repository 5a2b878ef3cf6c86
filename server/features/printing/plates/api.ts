import type { Db } from '../../../../db/connect.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes, noContent } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { verdictOf } from '../reports/verdict.ts'
import { addPlate, changePlate, removePlate } from './changes.ts'
import { listPlates, plateAuthor, readPlate } from './queries.ts'
import type { Plate } from './schema.ts'
import { changedPlate, judgedPlateSchema, newPlate, plateList, plateSchema } from './schema.ts'

/** What came off a printer at once, with all of its prints. */
export function platesApi(app: App): void {
  app.get(
    '/plates',
    { schema: { querystring: plateList, response: lists(plateSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listPlates(db, member, query)),
  )

  app.post(
    '/plates',
    { schema: { body: newPlate, response: makes(judgedPlateSchema) } },
    async ({ db, member, body }, reply) =>
      sendMade(reply, '/plates', await judged(db, await addPlate(db, member, body, { now: app.now() }))),
  )

  app.get(
    '/plates/:id',
    { schema: { params: byId, response: answers(judgedPlateSchema) } },
    async ({ db, member, params }, reply) =>
      sendVersion(reply, await judged(db, await readPlate(db, member, params.id))),
  )

  app.patch(
    '/plates/:id',
    { schema: { params: byId, body: changedPlate, response: answers(judgedPlateSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { memberId } = await plateAuthor(db, params.id)
      const how = { wanted: versionToChange(request, memberId === member.id), now: app.now() }
      return sendVersion(reply, await judged(db, await changePlate(db, member, params.id, body, how)))
    },
  )

  app.delete('/plates/:id', { schema: { params: byId, response: noContent } }, async (request) => {
    const { db, member, params } = request
    const { memberId } = await plateAuthor(db, params.id)
    await removePlate(db, member, params.id, versionToChange(request, memberId === member.id))
  })
}

const judged = async (db: Db, plate: Plate) => ({ ...plate, verdict: await verdictOf(db, plate) })
