import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { NewPictures } from '../../../../web/pages/NewPictures.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { forbidden, notFound, Problem } from '../../../http/problem.ts'
import { type App, at, forStewards, withId } from '../../../http/route.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { readFile } from '../../catalogue/files/queries.ts'
import { readPlate } from '../plates/queries.ts'
import { outcomePage } from '../reports/outcome-page.tsx'
import { attach, chooseFace } from './changes.ts'
import { mayLoad } from './queries.ts'
import { newFace, newPictures, platePictures } from './schema.ts'
import { pictured, whoShows } from './shown.ts'
import { storedName } from './store.ts'

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
