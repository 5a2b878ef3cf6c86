import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
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
  app.get(
    '/files',
    { config: { sameUntilWritten: true }, schema: { querystring: fileList, response: lists(fileSchema) } },
    ({ db, member, query }) => listFiles(db, member, query),
  )

  app.post('/files', { schema: { body: newFile, response: makes(wholeFileSchema) } }, ({ db, member, body }) =>
    addFile(db, member, body, app.now()),
  )

  app.get(
    '/files/:id',
    { config: { sameUntilWritten: true }, schema: { params: byId, response: answers(wholeFileSchema) } },
    ({ db, member, params }) => readFile(db, member, params.id),
  )

  app.patch(
    '/files/:id',
    { schema: { params: byId, body: changedFile, response: answers(wholeFileSchema) } },
    ({ db, member, params, body, wanted }) => changeFile(db, member, params.id, body, wanted),
  )
}

export function sculptorsApi(app: App): void {
  app.get(
    '/sculptors',
    { schema: { querystring: sculptorList, response: lists(sculptorSchema) } },
    ({ db, member, query }) => listSculptors(db, member, query),
  )

  app.get('/sculptors/:id', { schema: { params: byId, response: answers(sculptorSchema) } }, ({ db, member, params }) =>
    readSculptor(db, member, params.id),
  )

  app.patch(
    '/sculptors/:id',
    {
      config: { access: 'steward' },
      schema: { params: byId, body: changedSculptor, response: answers(sculptorSchema) },
    },
    ({ db, member, params, body, wanted }) => changeSculptor(db, member, params.id, body, wanted),
  )
}
