import type { FastifyReply } from 'fastify'
import { EditPicture } from '../../../../web/pages/PictureForms.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { blank, madeFrom, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { changePicture, removePicture, whoChangesPictures } from './changes.ts'
import { readPicture } from './queries.ts'
import { changedPicture, type Picture } from './schema.ts'

/** The form that changes a picture, and taking it away. */
export function pictureEditPages(app: App): void {
  app.get('/pictures/:id/edit', withId, async ({ db, member, params }, reply) => {
    const picture = await readPicture(db, member, params.id)
    expectMayChange(member, picture.member.id, whoChangesPictures)
    return editPage(reply, picture.id, blank(valuesOf(picture)))
  })

  app.post('/pictures/:id/edit', withId, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(changedPicture, body)
    const kept = { db, store: app.pictures }
    const done = await form.submit((change) => changePicture(kept, member, params.id, change, wanted))
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
