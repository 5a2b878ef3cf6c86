import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { EditPicture, NewPictures, PictureBase } from '../../../../web/pages/PictureForms.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange, mayChange } from '../../../http/access.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { forbidden, notFound, Problem } from '../../../http/problem.ts'
import { type App, at, forStewards, withId } from '../../../http/route.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { readFile } from '../../catalogue/files/queries.ts'
import { readPlate } from '../plates/queries.ts'
import { outcomePage } from '../reports/outcome-page.tsx'
import {
  attach,
  changePicture,
  chooseFace,
  cutOut,
  pictured,
  removePicture,
  whoChangesPictures,
  whoShows,
} from './changes.ts'
import type { Encoded } from './encode.ts'
import { laidOver, pxPerMm } from './laid-over.ts'
import { basesFor, mayLoad, readPicture } from './queries.ts'
import { changedPicture, markedBase, newFace, newPictures, type Picture, platePictures } from './schema.ts'
import { storedName } from './store.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** A picture that is cut for a change of it. */
    cutting: Promise<Encoded | undefined> | undefined
  }
}

const byName = z.object({ id: z.string().toLowerCase() })
const takes = { config: { takesPictures: true }, ...withId }

/** Pictures themselves, and how they come to a plate or a file. */
export function picturePages(app: App): void {
  // What is under a name never changes, so a browser may keep it for good; other caches may not.
  app.get('/pictures/:id', at(byName), async ({ db, member, params }, reply) => {
    const [name, hash] = storedName.exec(params.id) ?? []
    if (!name || !hash || !(await mayLoad(db, member, hash))) throw notFound('picture')
    const bytes = await app.pictures.get(name)
    if (!bytes) throw notFound('picture')
    reply.type('image/webp').header('cache-control', 'private, max-age=31536000, immutable')
    return Buffer.from(bytes)
  })

  app.post('/plates/:id/pictures', takes, async ({ db, member, params, body }, reply) => {
    const plate = await readPlate(db, member, params.id)
    if (plate.member.id !== member.id) throw forbidden(whoShows)
    const form = readForm(platePictures, body)
    const added = await form.submit(({ pictured: place, ...sent }) =>
      attach(db, member, { ...sent, ...pictured(plate, place) }),
    )
    if (added) return seeOther(reply, `/plates/${plate.id}#pictures`, 'picture-added')
    return outcomePage(reply.code(422), plate, form)
  })

  app.get('/files/:id/pictures/new', withId, ({ params }, reply) => newPage(reply, params.id, blank()))

  app.post('/files/:id/pictures', takes, async ({ db, member, params, body }, reply) => {
    const form = readForm(newPictures, body)
    const { id: fileId } = await fileHead(db, params.id)
    const added = await form.submit((sent) => attach(db, member, { ...sent, fileId, printId: null }))
    if (added) return seeOther(reply, `/files/${fileId}#pictures`, 'picture-added')
    return newPage(reply.code(422), fileId, form)
  })

  app.post('/files/:id/face', { ...forStewards, ...withId }, async ({ db, params, body }, reply) => {
    const form = readForm(newFace, body)
    const done = await form.submit(async ({ pictureId }) => chooseFace(db, params.id, pictureId).then(() => true))
    if (!done) throw new Problem(422, Object.values(form.errors)[0] ?? 'Which picture?')
    return seeOther(reply, `/files/${params.id}#pictures`, 'face-chosen')
  })
}

async function newPage(reply: FastifyReply, fileId: string, form: FormState) {
  const { db, member } = reply.request
  const file = await readFile(db, member, fileId)
  const props = { file, form, hidden: once() }
  return page(reply, { title: `Your print of ${file.title}`, children: <NewPictures {...props} /> })
}

/** The form that changes a picture, and taking it away. */
export function pictureEditPages(app: App): void {
  app.get('/pictures/:id/edit', withId, async ({ db, member, params }, reply) => {
    const picture = await readPicture(db, member, params.id)
    expectMayChange(member, picture.member.id, whoChangesPictures)
    return editPage(reply, picture.id, blank(valuesOf(picture)))
  })

  // Before the transaction in which the form is carried out.
  const beforehand = async (request: FastifyRequest<{ Params: { id: string } }>) => {
    const { db, member, params, body, wanted } = request
    // What refuses it is told by the form, where that is read again.
    await readForm(changedPicture, body).submit(async (change) => {
      request.cutting = cutOut({ db, store: app.pictures }, member, params.id, change, wanted)
      await request.cutting
    })
  }

  app.decorateRequest('cutting', undefined)
  app.post('/pictures/:id/edit', { preHandler: beforehand, ...withId }, async (request, reply) => {
    const { db, member, params, body, wanted } = request
    const form = readForm(changedPicture, body)
    const kept = { db, store: app.pictures }
    const done = await form.submit(async (change) =>
      changePicture(kept, member, params.id, { ...change, cut: await request.cutting }, wanted),
    )
    if (done) return seeOther(reply, `/files/${done.file.id}#pictures`, 'picture-changed')
    return editPage(reply.code(422), params.id, form)
  })

  app.post('/pictures/:id/remove', withId, async ({ db, member, params, wanted }, reply) => {
    const { fileId } = await removePicture(db, member, params.id, wanted)
    return seeOther(reply, `/files/${fileId}#pictures`, 'picture-removed')
  })
}

async function editPage(reply: FastifyReply, id: string, form: FormState) {
  const { db, member } = reply.request
  const picture = await readPicture(db, member, id)
  const props = { picture, form, hidden: madeFrom(picture.version) }
  const lead = `${picture.file.title}, by ${picture.member.name}`
  return page(reply, { title: 'Change the picture', lead, children: <EditPicture {...props} /> })
}

const valuesOf = ({ alt, crop }: Pick<Picture, 'alt' | 'crop'>) =>
  valuesFrom({ alt, crop: crop ?? { left: 0, top: 0, right: 0, bottom: 0 } })

/** Where a picture shows the base, and other bases laid over it. */
export function pictureBasePages(app: App): void {
  app.get('/pictures/:id/base', withId, async (request, reply) => {
    const picture = await readPicture(request.db, request.member, request.params.id)
    // Whoever may not keep the marks sends them in the address.
    const isTried = (request.query as { x1?: unknown }).x1 !== undefined
    const form = isTried ? readForm(markedBase, request.query) : blank(await marksOf(request, picture))
    if (Object.keys(form.errors).length > 0) reply.code(422)
    return basePage(reply, picture, form)
  })

  app.post('/pictures/:id/base', withId, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(markedBase, body)
    const kept = { db, store: app.pictures }
    const done = await form.submit((base) => changePicture(kept, member, params.id, { base }, wanted))
    if (done) return seeOther(reply, `/pictures/${done.id}/base`, 'picture-changed')
    return basePage(reply.code(422), await readPicture(db, member, params.id), form)
  })
}

type Shown = Awaited<ReturnType<typeof readPicture>>

/** The marks that are kept, or a guess to begin with: the base of the file, in the middle of the picture. */
async function marksOf({ db }: FastifyRequest, { base, file }: Shown) {
  if (base) return valuesFrom(base)
  const { own } = await basesFor(db, file.id)
  return { x1: '', y1: '', x2: '', y2: '', widthMm: String(own?.widthMm ?? ''), depth: '40' }
}

async function basePage(reply: FastifyReply, picture: Shown, form: FormState) {
  const { db, member } = reply.request
  const marked = readForm(markedBase, form.values)
  const drawn = await marked.submit(async (base) => {
    const { units } = await basesFor(db, picture.file.id)
    const own = laidOver(picture.whole, base, { shape: 'round', widthMm: base.widthMm })
    const laid = units.map((unit) => ({ ...unit, ellipse: laidOver(picture.whole, base, unit.base) }))
    return { own, pxPerMm: pxPerMm(picture.whole, base), units: laid }
  })
  const keeps = mayChange(member, picture.member.id)
  const hidden: Record<string, string> = keeps ? madeFrom(picture.version) : {}
  const props = { picture, form, keeps, hidden, drawn: drawn ?? null }
  const lead = `${picture.file.title}, by ${picture.member.name}`
  return page(reply, { title: 'Does it fit the base?', lead, children: <PictureBase {...props} /> })
}
