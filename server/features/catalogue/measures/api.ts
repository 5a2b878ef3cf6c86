import type { Db } from '../../../../db/connect.ts'
import { type App, answers, byId, noContent, ofId } from '../../../http/route.ts'
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
    app.get(path, answers(measureSchema, ofId), async ({ db, params }) => readMeasure(db, await find(db, params.id)))

    app.put(path, answers(keptMeasure, { params: byId, body: newMeasure }), async ({ db, member, params, body }) =>
      keepMeasure(db, member, await find(db, params.id), body),
    )

    app.delete(path, noContent(ofId), async ({ db, member, params }) =>
      removeMeasure(db, member, await find(db, params.id)),
    )
  }
}
