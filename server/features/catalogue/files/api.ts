import { type App, answers, byId, forStewards, lists, makes, ofId, sameUntilWritten } from '../../../http/route.ts'
import { changeSculptor, listSculptors, readSculptor } from '../sculptors/queries.ts'
import { addFile, changeFile } from './changes.ts'
import { listFiles, readFile } from './queries.ts'
import {
  changedFile,
  changedSculptor,
  fileList,
  fileSchema,
  newFile,
  sculptorList,
  sculptorSchema,
  wholeFileSchema,
} from './schema.ts'

export function filesApi(app: App): void {
  app.get('/files', { ...sameUntilWritten, ...lists(fileSchema, { querystring: fileList }) }, ({ db, member, query }) =>
    listFiles(db, member, query),
  )

  app.post('/files', makes(wholeFileSchema, { body: newFile }), ({ db, member, body }) =>
    addFile(db, member, body, app.now()),
  )

  app.get('/files/:id', { ...sameUntilWritten, ...answers(wholeFileSchema, ofId) }, ({ db, member, params }) =>
    readFile(db, member, params.id),
  )

  app.patch(
    '/files/:id',
    answers(wholeFileSchema, { params: byId, body: changedFile }),
    ({ db, member, params, body, wanted }) => changeFile(db, member, params.id, body, wanted),
  )
}

export function sculptorsApi(app: App): void {
  app.get('/sculptors', lists(sculptorSchema, { querystring: sculptorList }), ({ db, member, query }) =>
    listSculptors(db, member, query),
  )

  app.get('/sculptors/:id', answers(sculptorSchema, ofId), ({ db, member, params }) =>
    readSculptor(db, member, params.id),
  )

  app.patch(
    '/sculptors/:id',
    { ...forStewards, ...answers(sculptorSchema, { params: byId, body: changedSculptor }) },
    ({ db, member, params, body, wanted }) => changeSculptor(db, member, params.id, body, wanted),
  )
}
