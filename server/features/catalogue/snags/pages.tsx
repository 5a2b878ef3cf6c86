import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { EditSnag } from '../../../../web/pages/FileSnags.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom, withoutUnchanged } from '../../../http/page.tsx'
import { type App, byId, withId } from '../../../http/route.ts'
import { readFile } from '../files/queries.ts'
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
  app.get('/files/:id/snags/new', { schema: { params: byId, querystring: prefill } }, ({ params, query }, reply) => {
    return newSnagPage(reply, params.id, blank({ severity: 'costs time', ...query }))
  })

  app.post('/files/:id/snags/new', withId, async ({ db, member, params: { id }, body }, reply) => {
    const form = readForm(newSnag, body)
    const snag = await form.submit((data) => addSnag(db, member, id, data))
    if (snag) return seeOther(reply, `/files/${id}#snags`, 'snag-added')
    return newSnagPage(reply.code(422), id, form)
  })

  app.get('/snags/:id/edit', withId, async ({ db, member, params }, reply) => {
    const snag = await readSnag(db, member, params.id)
    expectMayChange(member, snag.createdBy.id, whoChangesSnags)
    return changedSnagPage(reply, snag, blank(valuesOf(snag)))
  })

  app.post('/snags/:id/edit', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const before = await readSnag(db, member, id)
    const form = readForm(changedSnag, body, { whole: true })
    const snag = await form.submit((data) => changeSnag(db, member, id, withoutUnchanged(data, before), wanted))
    if (snag) return seeOther(reply, `/files/${snag.fileId}#snags`, 'snag-changed')
    return changedSnagPage(reply.code(422), await readSnag(db, member, id), form)
  })
}

async function newSnagPage(reply: FastifyReply, fileId: string, form: FormState) {
  const { db, member } = reply.request
  const file = await readFile(db, member, fileId)
  const revisions = file.revisions.toReversed()
  const props = { file, form, kinds: snagKind.options, revisions, hidden: once(), action: `/files/${fileId}/snags/new` }
  return page(reply, { title: `Note a snag with ${file.title}`, children: <EditSnag {...props} /> })
}

async function changedSnagPage(reply: FastifyReply, snag: Snag, form: FormState) {
  const { db, member } = reply.request
  const file = await readFile(db, member, snag.fileId)
  const found = file.revisions.findIndex((revision) => revision.id === snag.revisionId)
  const props = {
    file,
    form,
    kinds: snagKind.options,
    revisions: file.revisions.slice(found + 1).toReversed(),
    hidden: madeFrom(snag.version),
    action: `/snags/${snag.id}/edit`,
    changes: snag.id,
  }
  return page(reply, { title: `Change a snag with ${file.title}`, children: <EditSnag {...props} /> })
}

const valuesOf = ({ kind, part, severity, minutes, detail, state, mendedInRevisionId }: Snag) =>
  valuesFrom({ kind, part, severity, minutes, detail, state, mendedInRevisionId })
