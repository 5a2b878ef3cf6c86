import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange, wantedBy } from '../../../http/version.ts'
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
    { schema: { querystring: fileList, response: lists(fileSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listFiles(db, member, query)),
  )

  app.post(
    '/files',
    { schema: { body: newFile, response: makes(wholeFileSchema) } },
    async ({ db, member, body }, reply) => sendMade(reply, '/files', await addFile(db, member, body, app.now())),
  )

  app.get(
    '/files/:id',
    { schema: { params: byId, response: answers(wholeFileSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readFile(db, member, params.id)),
  )

  app.patch(
    '/files/:id',
    { schema: { params: byId, body: changedFile, response: answers(wholeFileSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeFile(db, member, params.id, body, wantedBy(request)))
    },
  )
}

export function sculptorsApi(app: App): void {
  app.get(
    '/sculptors',
    { schema: { querystring: sculptorList, response: lists(sculptorSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listSculptors(db, member, query)),
  )

  app.get(
    '/sculptors/:id',
    { schema: { params: byId, response: answers(sculptorSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readSculptor(db, member, params.id)),
  )

  app.patch(
    '/sculptors/:id',
    {
      config: { access: 'steward' },
      schema: { params: byId, body: changedSculptor, response: answers(sculptorSchema) },
    },
    async (request, reply) => {
      const wanted = versionToChange(request, false)
      return sendVersion(
        reply,
        await changeSculptor(request.db, request.member, request.params.id, request.body, wanted),
      )
    },
  )
}
