import type { z } from 'zod'
import { type App, answers, byId, forStewards, noContent, ofId } from '../../../http/route.ts'
import { readFile } from '../../catalogue/files/queries.ts'
import { sculptorSchema, wholeFileSchema } from '../../catalogue/files/schema.ts'
import { readSculptor } from '../../catalogue/sculptors/queries.ts'
import { readUnit } from '../../catalogue/units/queries.ts'
import { unitSchema } from '../../catalogue/units/schema.ts'
import { mergeFiles, removeFile } from './files.ts'
import { merge } from './schema.ts'
import { mergeSculptors, removeSculptor } from './sculptors.ts'
import { mergeUnits, removeUnit } from './units.ts'

const merging = <Kept extends z.ZodType>(kept: Kept) => ({
  ...forStewards,
  ...answers(kept, { params: byId, body: merge }),
})

/** Two that are the same become one, which is answered; what was added by mistake goes. */
export function mergingApi(app: App): void {
  app.post('/units/:id/merge', merging(unitSchema), async ({ db, params, body }) => {
    await mergeUnits(db, { from: params.id, into: body.into })
    return readUnit(db, body.into)
  })

  app.post('/files/:id/merge', merging(wholeFileSchema), async ({ db, member, params, body }) => {
    await mergeFiles(db, { from: params.id, into: body.into })
    return readFile(db, member, body.into)
  })

  app.post('/sculptors/:id/merge', merging(sculptorSchema), async ({ db, member, params, body }) => {
    await mergeSculptors(db, { from: params.id, into: body.into })
    return readSculptor(db, member, body.into)
  })

  app.delete('/units/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    removeUnit(db, member, params.id, wanted),
  )

  app.delete('/files/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    removeFile(db, member, params.id, wanted),
  )

  app.delete('/sculptors/:id', { ...forStewards, ...noContent(ofId) }, ({ db, params, wanted }) =>
    removeSculptor(db, params.id, wanted),
  )
}
