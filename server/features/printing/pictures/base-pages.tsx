import type { FastifyReply, FastifyRequest } from 'fastify'
import { PictureBase } from '../../../../web/pages/PictureForms.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { mayChange } from '../../../http/access.ts'
import { blank, madeFrom, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { changePicture } from './changes.ts'
import { laidOver, pxPerMm } from './laid-over.ts'
import { basesFor, readPicture } from './queries.ts'
import { markedBase } from './schema.ts'

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
