import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { Measure, type MeasureProps } from '../../../../web/pages/Measure.tsx'
import { supportsWords } from '../../../../web/parts/measure-words.ts'
import { mayChange } from '../../../http/access.ts'
import { id } from '../../../http/fields.ts'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { notFound } from '../../../http/problem.ts'
import { type App, byId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { writtenFile } from '../files/queries.ts'
import { addRevision } from '../revisions/queries.ts'
import { knownBeside, scaleOf, toldOf } from './found.ts'
import { measuredIn } from './posted.ts'
import { keepMeasure, type Measured, measuredRevision, measuredSupportSet, removeMeasure } from './queries.ts'
import { foundForm, keptForm, type NewMeasure, newMeasure, typedForm } from './schema.ts'

const which = z.object({ supports: id.optional() })
const schema = { params: byId, querystring: which }

/** Measuring a revision, as it was sculpted or with one of its support sets. */
export function measurePages(app: App): void {
  app.get('/revisions/:id/measure', { schema }, async ({ db, params, query }, reply) =>
    measurePage(reply, await whatIsMeasured(db, params.id, query.supports)),
  )

  app.post('/revisions/:id/measure/found', { schema }, async ({ db, params, query, body }, reply) => {
    const what = await whatIsMeasured(db, params.id, query.supports)
    const form = readForm(foundForm, body)
    const found = await form.submit(async ({ measured }) => measuredIn(measured))
    if (found) return measurePage(reply, what, { found })
    return measurePage(reply.code(422), what, { typed: { values: {}, errors: form.errors } })
  })

  app.post('/revisions/:id/measure', { schema }, async ({ db, member, params, query, body }, reply) => {
    const what = await whatIsMeasured(db, params.id, query.supports)
    const isTyped = (body as { measured?: unknown } | null)?.measured === undefined
    const form = isTyped ? readForm(typedForm, body) : readForm(keptForm, body)
    const kept = await form.submit((data) =>
      'measured' in data ? keepFound(db, member, what, data) : keepMeasure(db, member, what, newMeasure.parse(data)),
    )
    if (kept) return seeOther(reply, `/files/${what.fileId}#revisions`, saidOf(kept.filled))
    return measurePage(reply.code(422), what, { typed: form })
  })

  app.post('/revisions/:id/measure/remove', { schema }, async ({ db, member, params, query }, reply) => {
    const what = await whatIsMeasured(db, params.id, query.supports)
    await removeMeasure(db, member, what)
    return seeOther(reply, `/files/${what.fileId}#revisions`, 'measure-removed')
  })
}

const saidOf = (filled: string[]) =>
  filled.length === 0
    ? 'measured'
    : filled.length === 2
      ? 'measured-both'
      : filled[0] === 'resinMl'
        ? 'measured-resin'
        : 'measured-height'

/** @throws Problem 404, also for supports of another revision */
async function whatIsMeasured(db: Db, revisionId: string, supports: string | undefined): Promise<Measured> {
  if (supports === undefined) return measuredRevision(db, revisionId)
  const what = await measuredSupportSet(db, supports)
  if (what.revisionId !== revisionId) throw notFound('support set')
  return what
}

/** Keeps it, with a label of a new revision. */
async function keepFound(db: Db, viewer: Viewer, what: Measured, { measured, label }: z.infer<typeof keptForm>) {
  const measure = measuredIn(measured)
  if (label === undefined) return keepMeasure(db, viewer, what, measure)
  return inTransaction(db, async (trx) =>
    keepMeasure(trx, viewer, await newRevision(trx, viewer, what, label), measure),
  )
}

async function newRevision(trx: Db, viewer: Viewer, { fileId, supportSetId }: Measured, label: string) {
  const kinds = await trx.selectFrom('supportSet').select('kind').where('id', '=', supportSetId).execute()
  const supportKinds = kinds.map(({ kind }) => kind)
  const made = await addRevision(trx, viewer, fileId, { label, releasedOn: null, sha256: null, supportKinds })
  return { fileId, revisionId: made.id, supportSetId: made.supportSets[0]?.id ?? null }
}

interface Shown {
  found?: NewMeasure
  typed?: MeasureProps['typed']
}

async function measurePage(reply: FastifyReply, what: Measured, shown: Shown = {}) {
  const { db, member, server } = reply.request
  const file = await writtenFile(db, member, what.fileId)
  const revision = file.revisions.find(({ id: one }) => one === what.revisionId)
  if (!revision) throw notFound('revision')
  const supports = revision.supportSets.find(({ id: one }) => one === what.supportSetId) ?? null
  const kept = file.measures.find((one) => one.revisionId === revision.id && one.supportSetId === what.supportSetId)
  const { found, typed = blank() } = shown
  const props: MeasureProps = {
    file,
    revision,
    supports,
    worker: server.assets.mesh,
    scaleMm: scaleOf(file),
    kept: kept
      ? {
          ...toldOf(file, what, kept),
          known: knownBeside(file, what, kept),
          measure: kept,
          by: kept.measuredBy.name,
          at: kept.measuredAt,
          mayRemove: mayChange(member, kept.measuredBy.id),
        }
      : null,
    found: found ? { ...toldOf(file, what, found), measure: found, text: JSON.stringify(found) } : null,
    typed,
    once: once().once,
  }
  const title = `Measure ${file.title}, ${revision.label}, ${supportsWords(supports?.kind ?? null)}`
  return page(reply, { title, children: <Measure {...props} /> })
}
