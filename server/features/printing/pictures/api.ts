import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { attach, changePicture, chooseFace, removePicture } from './changes.ts'
import { pictureAuthor, picturesOfFile, readPicture } from './queries.ts'
import { changedPicture, newFace, newPictures, pictureList, pictureSchema, picturesSchema } from './schema.ts'
import { picturedFile, printToShow } from './shown.ts'

const adding = {
  config: { takesPictures: true },
  schema: {
    consumes: ['multipart/form-data'],
    params: byId,
    body: newPictures,
    response: { 201: picturesSchema, ...problems },
  },
}

/** Shows what one printed: with its report, with the file, or with the proposal. */
export function newPicturesApi(app: App): void {
  app.post('/reports/:id/photos', adding, async ({ db, member, params, body }, reply) => {
    const shows = await printToShow(db, member, params.id)
    const items = await attach(db, member, { ...body, ...shows })
    reply.code(201)
    return { items }
  })

  app.post('/files/:id/photos', adding, async ({ db, member, params, body }, reply) => {
    const { id: fileId } = await fileHead(db, params.id)
    const items = await attach(db, member, { ...body, fileId, printId: null })
    reply.code(201)
    return { items }
  })

  app.post('/proposals/:id/photos', adding, async ({ db, member, params, body }, reply) => {
    const fileId = await picturedFile(db, params.id)
    const items = await attach(db, member, { ...body, fileId, printId: null })
    reply.code(201)
    return { items }
  })
}

/** Pictures of members' own prints. */
export function picturesApi(app: App): void {
  app.get(
    '/files/:id/photos',
    { schema: { params: byId, querystring: pictureList, response: { 200: pageOf(pictureSchema), ...problems } } },
    async (request, reply) => {
      const { db, member, params, query } = request
      const { id: fileId } = await fileHead(db, params.id)
      return sendPage(request, reply, await picturesOfFile(db, member, { ...query, fileId }))
    },
  )

  app.put(
    '/files/:id/face',
    {
      config: { access: 'steward' },
      schema: { params: byId, body: newFace, response: noContent },
    },
    async ({ db, params, body }, reply) => {
      await chooseFace(db, params.id, body.pictureId)
      reply.code(204)
      return null
    },
  )

  app.get(
    '/photos/:id',
    { schema: { params: byId, response: { 200: pictureSchema, ...problems } } },
    async ({ db, member, params }, reply) => {
      const picture = await readPicture(db, member, params.id)
      sendVersion(reply, picture.version)
      return picture
    },
  )

  app.patch(
    '/photos/:id',
    { schema: { params: byId, body: changedPicture, response: { 200: pictureSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { memberId } = await pictureAuthor(db, params.id)
      const wanted = versionToChange(request, memberId === member.id)
      const picture = await changePicture({ db, store: app.pictures }, member, params.id, body, wanted)
      sendVersion(reply, picture.version)
      return picture
    },
  )

  app.delete('/photos/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    const { db, member, params } = request
    const { memberId } = await pictureAuthor(db, params.id)
    await removePicture(db, member, params.id, versionToChange(request, memberId === member.id))
    reply.code(204)
    return null
  })
}
