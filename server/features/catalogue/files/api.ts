import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { changeSculptor, listSculptors, readSculptor } from '../sculptors/queries.ts'
import { addFile, changeFile } from './changes.ts'
import { fileHead } from './heads.ts'
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
    { schema: { querystring: fileList, response: { 200: pageOf(fileSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listFiles(request.db, request.member, request.query)),
  )

  app.post(
    '/files',
    { schema: { body: newFile, response: { 201: wholeFileSchema, ...problems } } },
    async (request, reply) => {
      const file = await addFile(request.db, request.member, request.body, app.now())
      sendVersion(reply, file.version).code(201).header('location', `/api/v1/files/${file.id}`)
      return file
    },
  )

  app.get(
    '/files/:id',
    { schema: { params: byId, response: { 200: wholeFileSchema, ...problems } } },
    async (request, reply) => {
      const file = await readFile(request.db, request.member, request.params.id)
      sendVersion(reply, file.version)
      return file
    },
  )

  app.patch(
    '/files/:id',
    { schema: { params: byId, body: changedFile, response: { 200: wholeFileSchema, ...problems } } },
    async (request, reply) => {
      const { createdBy } = await fileHead(request.db, request.params.id)
      const wanted = versionToChange(request, createdBy === request.member.id)
      const file = await changeFile(request.db, request.member, request.params.id, request.body, wanted)
      sendVersion(reply, file.version)
      return file
    },
  )
}

export function sculptorsApi(app: App): void {
  app.get(
    '/sculptors',
    { schema: { querystring: sculptorList, response: { 200: pageOf(sculptorSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listSculptors(request.db, request.member, request.query)),
  )

  app.get(
    '/sculptors/:id',
    { schema: { params: byId, response: { 200: sculptorSchema, ...problems } } },
    async (request, reply) => {
      const sculptor = await readSculptor(request.db, request.member, request.params.id)
      sendVersion(reply, sculptor.version)
      return sculptor
    },
  )

  app.patch(
    '/sculptors/:id',
    {
      config: { access: 'steward' },
      schema: { params: byId, body: changedSculptor, response: { 200: sculptorSchema, ...problems } },
    },
    async (request, reply) => {
      const wanted = versionToChange(request, false)
      const sculptor = await changeSculptor(request.db, request.member, request.params.id, request.body, wanted)
      sendVersion(reply, sculptor.version)
      return sculptor
    },
  )
}
