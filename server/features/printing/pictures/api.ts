import { type App, answers, byId, forStewards, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { attach, changePicture, chooseFace, cutOut, picturedFile, printToShow, removePicture } from './changes.ts'
import { picturesOfFile, readPicture } from './queries.ts'
import { changedPicture, newFace, newPictures, pictureList, pictureSchema, picturesSchema } from './schema.ts'

const adding = {
  config: { takesPictures: true },
  ...makes(picturesSchema, { consumes: ['multipart/form-data'], params: byId, body: newPictures }),
}

/** Shows what one printed: with its report, with the file, or with the proposal. */
export function newPicturesApi(app: App): void {
  app.post('/reports/:id/photos', adding, async ({ db, member, params, body }) => {
    const shows = await printToShow(db, member, params.id)
    const items = await attach(db, member, { ...body, ...shows })
    return { items }
  })

  app.post('/files/:id/photos', adding, async ({ db, member, params, body }) => {
    const { id: fileId } = await fileHead(db, params.id)
    const items = await attach(db, member, { ...body, fileId, printId: null })
    return { items }
  })

  app.post('/proposals/:id/photos', adding, async ({ db, member, params, body }) => {
    const fileId = await picturedFile(db, params.id)
    const items = await attach(db, member, { ...body, fileId, printId: null })
    return { items }
  })
}

/** Pictures of members' own prints. */
export function picturesApi(app: App): void {
  app.get(
    '/files/:id/photos',
    lists(pictureSchema, { params: byId, querystring: pictureList }),
    async ({ db, member, params, query }) => {
      const { id: fileId } = await fileHead(db, params.id)
      return picturesOfFile(db, member, { ...query, fileId })
    },
  )

  app.put(
    '/files/:id/face',
    { ...forStewards, ...noContent({ params: byId, body: newFace }) },
    ({ db, params, body }) => chooseFace(db, params.id, body.pictureId),
  )

  app.get('/photos/:id', answers(pictureSchema, ofId), ({ db, member, params }) => readPicture(db, member, params.id))

  app.patch(
    '/photos/:id',
    answers(pictureSchema, { params: byId, body: changedPicture }),
    async ({ db, member, params, body, wanted }) => {
      const kept = { db, store: app.pictures }
      const cut = await cutOut(kept, member, params.id, body, wanted)
      return changePicture(kept, member, params.id, { ...body, cut }, wanted)
    },
  )

  app.delete('/photos/:id', noContent(ofId), async ({ db, member, params, wanted }) => {
    await removePicture(db, member, params.id, wanted)
  })
}
