import type { Db } from '../../../../db/connect.ts'
import { type App, answers, byId, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { verdictOf } from '../reports/verdict.ts'
import { addPlate, changePlate, removePlate } from './changes.ts'
import { listPlates, readPlate } from './queries.ts'
import { changedPlate, judgedPlateSchema, newPlate, type Plate, plateList, plateSchema } from './schema.ts'

/** What came off a printer at once, with all of its prints. */
export function platesApi(app: App): void {
  app.get('/plates', lists(plateSchema, { querystring: plateList }), ({ db, member, query }) =>
    listPlates(db, member, query),
  )

  app.post('/plates', makes(judgedPlateSchema, { body: newPlate }), async ({ db, member, body }) =>
    judged(db, await addPlate(db, member, body, { now: app.now() })),
  )

  app.get('/plates/:id', answers(judgedPlateSchema, ofId), async ({ db, member, params }) =>
    judged(db, await readPlate(db, member, params.id)),
  )

  app.patch(
    '/plates/:id',
    answers(judgedPlateSchema, { params: byId, body: changedPlate }),
    async ({ db, member, params, body, wanted }) =>
      judged(db, await changePlate(db, member, params.id, body, { wanted, now: app.now() })),
  )

  app.delete('/plates/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    removePlate(db, member, params.id, wanted),
  )
}

const judged = async (db: Db, plate: Plate) => ({ ...plate, verdict: await verdictOf(db, plate) })
