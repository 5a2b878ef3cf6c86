import type { FastifyReply, FastifyRequest } from 'fastify'
import { EditRevision, EditSupportSet } from '../../../../web/pages/EditRevision.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, once, readForm, valuesFrom } from '../../../http/form.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { readFile } from '../files/queries.ts'
import { withoutUnchanged } from '../files/unchanged.ts'
import { addRevision, addSupportSet, changeRevision, readRevision, whoChangesRevisions } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, type Revision } from './schema.ts'

/** Forms that add revisions and support sets to a file, and correct a revision. */
export function revisionPages(app: App): void {
  app.get('/files/:id/revisions/new', { schema: { params: byId } }, (request, reply) =>
    revisionPage(request, reply, request.params.id, blank()),
  )

  app.post('/files/:id/revisions/new', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(newRevision, request.body)
    const made = await form.submit((data) => addRevision(request.db, request.member, id, data, app.now()))
    if (made) return seeOther(reply, `/files/${id}#revisions`, 'revision-added')
    return revisionPage(request, reply.code(422), id, form)
  })

  app.get('/revisions/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const revision = await readRevision(request.db, request.member, request.params.id)
    expectMayChange(request.member, revision.createdBy.id, whoChangesRevisions)
    return changedRevisionPage(request, reply, revision, blank(valuesOf(revision)))
  })

  app.post('/revisions/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member } = request
    const { id } = request.params
    const before = await readRevision(db, member, id)
    const form = readForm(changedRevision, request.body, { whole: true })
    const how = { wanted: request.wanted, now: app.now() }
    const done = await form.submit((data) => changeRevision(db, member, id, withoutUnchanged(data, before), how))
    if (done) return seeOther(reply, `/files/${before.fileId}#revisions`, 'revision-changed')
    return changedRevisionPage(request, reply.code(422), await readRevision(db, member, id), form)
  })

  app.get('/revisions/:id/support-sets/new', { schema: { params: byId } }, (request, reply) =>
    supportSetPage(request, reply, request.params.id, blank()),
  )

  app.post('/revisions/:id/support-sets/new', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(newSupportSet, request.body)
    const made = await form.submit((data) => addSupportSet(request.db, request.member, id, data))
    const { fileId } = await readRevision(request.db, request.member, id)
    if (made) return seeOther(reply, `/files/${fileId}#revisions`, 'support-set-added')
    return supportSetPage(request, reply.code(422), id, form)
  })
}

async function revisionPage(request: FastifyRequest, reply: FastifyReply, fileId: string, form: FormState) {
  const file = await readFile(request.db, request.member, fileId)
  const props = { file, form, hidden: once(), action: `/files/${fileId}/revisions/new` }
  return page(request, reply, { title: `Add a revision of ${file.title}`, children: <EditRevision {...props} isNew /> })
}

async function changedRevisionPage(request: FastifyRequest, reply: FastifyReply, revision: Revision, form: FormState) {
  const file = await readFile(request.db, request.member, revision.fileId)
  const props = { file, form, hidden: madeFrom(revision.version), action: `/revisions/${revision.id}/edit` }
  const title = `Change the revision ${revision.label} of ${file.title}`
  return page(request, reply, { title, children: <EditRevision {...props} isNew={false} /> })
}

const valuesOf = ({ label, releasedOn, sha256 }: Revision) => valuesFrom({ label, releasedOn, sha256 })

async function supportSetPage(request: FastifyRequest, reply: FastifyReply, revisionId: string, form: FormState) {
  const revision = await readRevision(request.db, request.member, revisionId)
  const file = await readFile(request.db, request.member, revision.fileId)
  const props = { file, form, hidden: once(), action: `/revisions/${revisionId}/support-sets/new` }
  const title = `Add supports of ${file.title}, ${revision.label}`
  return page(request, reply, { title, children: <EditSupportSet {...props} /> })
}
