import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { EditSnag } from '../../../../web/pages/EditSnag.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, once, readForm, valuesFrom } from '../../../http/form.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { readFile } from '../files/queries.ts'
import { withoutUnchanged } from '../files/unchanged.ts'
import { addSnag, changeSnag, readSnag, whoChangesSnags } from './queries.ts'
import { changedSnag, newSnag, type Snag, snagKind } from './schema.ts'

/** What a page that found something fills in; each is looked at again when the form is sent. */
const prefill = z.object({
  revisionId: z.uuid().default('').catch(''),
  kind: snagKind.or(z.literal('')).default('').catch(''),
  part: z.string().max(120).default('').catch(''),
  detail: z.string().max(2000).default('').catch(''),
})

/** Forms that write snags down and say what became of them. */
export function snagPages(app: App): void {
  app.get('/files/:id/snags/new', { schema: { params: byId, querystring: prefill } }, (request, reply) => {
    return newSnagPage(request, reply, request.params.id, blank({ severity: 'costs time', ...request.query }))
  })

  app.post('/files/:id/snags/new', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(newSnag, request.body)
    const snag = await form.submit((data) => addSnag(request.db, request.member, id, data))
    if (snag) return seeOther(reply, `/files/${id}#snags`, 'snag-added')
    return newSnagPage(request, reply.code(422), id, form)
  })

  app.get('/snags/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const snag = await readSnag(request.db, request.member, request.params.id)
    expectMayChange(request.member, snag.createdBy.id, whoChangesSnags)
    return changedSnagPage(request, reply, snag, blank(valuesOf(snag)))
  })

  app.post('/snags/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member } = request
    const { id } = request.params
    const before = await readSnag(db, member, id)
    const form = readForm(changedSnag, request.body, { whole: true })
    const wanted = request.wanted
    const snag = await form.submit((data) => changeSnag(db, member, id, withoutUnchanged(data, before), wanted))
    if (snag) return seeOther(reply, `/files/${snag.fileId}#snags`, 'snag-changed')
    return changedSnagPage(request, reply.code(422), await readSnag(db, member, id), form)
  })
}

async function newSnagPage(request: FastifyRequest, reply: FastifyReply, fileId: string, form: FormState) {
  const file = await readFile(request.db, request.member, fileId)
  const revisions = file.revisions.toReversed()
  const props = { file, form, revisions, hidden: once(), action: `/files/${fileId}/snags/new` }
  return page(request, reply, { title: `Note a snag with ${file.title}`, children: <EditSnag {...props} /> })
}

async function changedSnagPage(request: FastifyRequest, reply: FastifyReply, snag: Snag, form: FormState) {
  const file = await readFile(request.db, request.member, snag.fileId)
  const found = file.revisions.findIndex((revision) => revision.id === snag.revisionId)
  const props = {
    file,
    form,
    revisions: file.revisions.slice(found + 1).toReversed(),
    hidden: madeFrom(snag.version),
    action: `/snags/${snag.id}/edit`,
    changes: snag.id,
  }
  return page(request, reply, { title: `Change a snag with ${file.title}`, children: <EditSnag {...props} /> })
}

const valuesOf = ({ kind, part, severity, minutes, detail, state, mendedInRevisionId }: Snag) =>
  valuesFrom({ kind, part, severity, minutes, detail, state, mendedInRevisionId })
