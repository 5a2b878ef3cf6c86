import type { FastifyReply, FastifyRequest } from 'fastify'
import { EditPicture } from '../../../../web/pages/EditPicture.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm, valuesFrom } from '../../../http/form.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { changePicture, removePicture, whoChangesPictures } from './changes.ts'
import { readPicture } from './queries.ts'
import { changedPicture, type Picture } from './schema.ts'

/** The form that changes a picture, and taking it away. */
export function pictureEditPages(app: App): void {
  app.get('/pictures/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    const picture = await readPicture(db, member, params.id)
    expectMayChange(member, picture.member.id, whoChangesPictures)
    return editPage(request, reply, picture.id, blank(valuesOf(picture)))
  })

  app.post('/pictures/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params, body } = request
    const form = readForm(changedPicture, body)
    const kept = { db, store: app.pictures }
    const done = await form.submit((change) => changePicture(kept, member, params.id, change, request.wanted))
    if (done) return seeOther(reply, `/files/${done.file.id}#pictures`, 'picture-changed')
    return editPage(request, reply.code(422), params.id, form)
  })

  app.post('/pictures/:id/remove', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params, wanted } = request
    const { fileId } = await removePicture(db, member, params.id, wanted)
    return seeOther(reply, `/files/${fileId}#pictures`, 'picture-removed')
  })
}

async function editPage(request: FastifyRequest, reply: FastifyReply, id: string, form: FormState) {
  const picture = await readPicture(request.db, request.member, id)
  const props = { picture, form, hidden: madeFrom(picture.version) }
  const lead = `${picture.file.title}, by ${picture.member.name}`
  return page(request, reply, { title: 'Change the picture', lead, children: <EditPicture {...props} /> })
}

const valuesOf = ({ alt, crop }: Pick<Picture, 'alt' | 'crop'>) =>
  valuesFrom({ alt, crop: crop ?? { left: 0, top: 0, right: 0, bottom: 0 } })
