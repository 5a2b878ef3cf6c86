import type { Db } from '../../../../db/connect.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import {
  keepMeasure,
  type Measured,
  measuredRevision,
  measuredSupportSet,
  readMeasure,
  removeMeasure,
} from './queries.ts'
import { keptMeasure, measureSchema, newMeasure } from './schema.ts'

/** What is measured: each has the same three calls. */
const measured: [path: string, find: (db: Db, id: string) => Promise<Measured>][] = [
  ['/revisions/:id/measure', measuredRevision],
  ['/support-sets/:id/measure', measuredSupportSet],
]

export function measuresApi(app: App): void {
  for (const [path, find] of measured) {
    app.get(path, { schema: { params: byId, response: { 200: measureSchema, ...problems } } }, async (request) =>
      readMeasure(request.db, await find(request.db, request.params.id)),
    )

    app.put(
      path,
      { schema: { params: byId, body: newMeasure, response: { 200: keptMeasure, ...problems } } },
      async (request) =>
        keepMeasure(request.db, request.member, await find(request.db, request.params.id), request.body),
    )

    app.delete(path, { schema: { params: byId, response: noContent } }, async (request, reply) => {
      await removeMeasure(request.db, request.member, await find(request.db, request.params.id))
      reply.code(204)
      return null
    })
  }
}
