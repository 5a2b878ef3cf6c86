import type { FastifyReply } from 'fastify'
import { EditRevision, EditSupportSet } from '../../../../web/pages/EditRevision.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom, withoutUnchanged } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { readFile } from '../files/queries.ts'
import { addRevision, addSupportSet, changeRevision, readRevision, whoChangesRevisions } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, type Revision } from './schema.ts'

/** Forms that add revisions and support sets to a file, and correct a revision. */
export function revisionPages(app: App): void {
  app.get('/files/:id/revisions/new', withId, ({ params }, reply) => revisionPage(reply, params.id, blank()))

  app.post('/files/:id/revisions/new', withId, async ({ db, member, params: { id }, body }, reply) => {
    const form = readForm(newRevision, body)
    const made = await form.submit((data) => addRevision(db, member, id, data, app.now()))
    if (made) return seeOther(reply, `/files/${id}#revisions`, 'revision-added')
    return revisionPage(reply.code(422), id, form)
  })

  app.get('/revisions/:id/edit', withId, async ({ db, member, params }, reply) => {
    const revision = await readRevision(db, member, params.id)
    expectMayChange(member, revision.createdBy.id, whoChangesRevisions)
    return changedRevisionPage(reply, revision, blank(valuesOf(revision)))
  })

  app.post('/revisions/:id/edit', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const before = await readRevision(db, member, id)
    const form = readForm(changedRevision, body, { whole: true })
    const how = { wanted, now: app.now() }
    const done = await form.submit((data) => changeRevision(db, member, id, withoutUnchanged(data, before), how))
    if (done) return seeOther(reply, `/files/${before.fileId}#revisions`, 'revision-changed')
    return changedRevisionPage(reply.code(422), await readRevision(db, member, id), form)
  })

  app.get('/revisions/:id/support-sets/new', withId, ({ params }, reply) => supportSetPage(reply, params.id, blank()))

  app.post('/revisions/:id/support-sets/new', withId, async ({ db, member, params: { id }, body }, reply) => {
    const form = readForm(newSupportSet, body)
    const made = await form.submit((data) => addSupportSet(db, member, id, data))
    const { fileId } = await readRevision(db, member, id)
    if (made) return seeOther(reply, `/files/${fileId}#revisions`, 'support-set-added')
    return supportSetPage(reply.code(422), id, form)
  })
}

async function revisionPage(reply: FastifyReply, fileId: string, form: FormState) {
  const { db, member } = reply.request
  const file = await readFile(db, member, fileId)
  const props = { file, form, hidden: once(), action: `/files/${fileId}/revisions/new` }
  return page(reply, { title: `Add a revision of ${file.title}`, children: <EditRevision {...props} isNew /> })
}

async function changedRevisionPage(reply: FastifyReply, revision: Revision, form: FormState) {
  const { db, member } = reply.request
  const file = await readFile(db, member, revision.fileId)
  const props = { file, form, hidden: madeFrom(revision.version), action: `/revisions/${revision.id}/edit` }
  const title = `Change the revision ${revision.label} of ${file.title}`
  return page(reply, { title, children: <EditRevision {...props} isNew={false} /> })
}

const valuesOf = ({ label, releasedOn, sha256 }: Revision) => valuesFrom({ label, releasedOn, sha256 })

async function supportSetPage(reply: FastifyReply, revisionId: string, form: FormState) {
  const { db, member } = reply.request
  const revision = await readRevision(db, member, revisionId)
  const file = await readFile(db, member, revision.fileId)
  const props = { file, form, hidden: once(), action: `/revisions/${revisionId}/support-sets/new` }
  const title = `Add supports of ${file.title}, ${revision.label}`
  return page(reply, { title, children: <EditSupportSet {...props} /> })
}
