import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { Propose, ProposeNew } from '../../../../web/pages/Propose.tsx'
import { figureOf } from '../../../../web/pages/StandInCells.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { id } from '../../../http/fields.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { under } from '../../../http/problem.ts'
import { type App, byId, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { filesById, listFiles } from '../../catalogue/files/queries.ts'
import { withShadow } from '../../catalogue/measures/drawn.ts'
import { keepFirstMeasure, withoutMeasure } from '../../catalogue/measures/posted.ts'
import { withoutIdleOffer } from '../../catalogue/offers/posted.ts'
import { readUnit } from '../../catalogue/units/queries.ts'
import { atAnswer } from '../requests/at-answer.ts'
import { readRequest } from '../requests/queries.ts'
import type { Request } from '../requests/schema.ts'
import { propose, readProposal, takeProposalBack } from './queries.ts'
import { listedOf } from './rules.ts'
import { newProposal } from './schema.ts'

const look = z.object({
  q: z.string().trim().max(120).default('').catch(''),
  fileId: id.optional().catch(undefined),
  said: z.string().optional(),
})

export function proposalPages(app: App): void {
  app.get('/requests/:id/propose', { schema: { params: byId, querystring: look } }, async (request, reply) => {
    const asked = await readRequest(request.db, request.member, request.params.id)
    const { q, fileId } = request.query
    const covers = await listedBy(request, asked, fileId)
    return proposePage(reply, asked, { q, fileId, form: blank(fileId ? { fileId, covers } : {}) })
  })

  app.post('/requests/:id/propose', withId, async (request, reply) => {
    const asked = await readRequest(request.db, request.member, request.params.id)
    const { q: looked, ticked, ...typed } = (request.body ?? {}) as Record<string, unknown>
    const { q, fileId } = look.parse({ q: looked, fileId: typed.fileId })
    const form = readForm(newProposal, typed)
    // Without script choosing a file ticks nothing: what it lists is ticked here, and shown before it is sent.
    const listed = ticked === fileId ? [] : await listedBy(request, asked, fileId)
    const covers = [form.values.covers ?? []].flat()
    const unticked = listed.filter((one) => !covers.includes(one))
    if (unticked.length > 0) {
      form.values.covers = [...covers, ...unticked]
      form.errors.covers ??= `The file lists ${quoted(unticked)}, so this is now ticked. Untick it if that is wrong.`
    }
    const made = await form.submit((data) => propose(request.db, request.member, asked.id, data))
    if (made) return seeOther(reply, atAnswer(asked.id, made.id), 'proposed')
    return proposePage(reply.code(422), asked, { q, fileId, form })
  })

  app.post('/proposals/:id/take-back', withId, async ({ db, member, params }, reply) => {
    const { requestId } = await readProposal(db, params.id, member)
    await takeProposalBack(db, member, params.id)
    return seeOther(reply, `/requests/${requestId}`, 'proposal-taken-back')
  })
}

/** The must-haves that the chosen file lists. */
async function listedBy({ db, member }: FastifyRequest, { mustHaves }: Request, fileId: string | undefined) {
  const [file] = fileId && mustHaves.length > 0 ? await filesById(db, member, [fileId]) : []
  return file ? listedOf(mustHaves, file.options) : []
}

const quoted = (words: string[]) => words.map((one) => `“${one}”`).join(', ')

interface Shown {
  q: string
  fileId?: string | undefined
  form: FormState
}

async function proposePage(reply: FastifyReply, asked: Request, { q, fileId, form }: Shown) {
  const { db, member } = reply.request
  const files = await choices(db, member, asked, { q, fileId })
  const title = `Propose a file for ${asked.wanted} × ${asked.unit.name}`
  const { standIns } = await readUnit(db, asked.unit.id)
  const drawn = { ...asked, unit: await withShadow(db, asked.unit) }
  return page(reply, {
    title,
    children: (
      <Propose {...{ request: drawn, form, ...once(), q, files, hasStandIns: standIns > 0, ticked: fileId ?? '' }} />
    ),
  })
}

/** What is looked for, or what is known for the unit; the file that was chosen already comes first. */
async function choices(
  db: Db,
  viewer: Viewer,
  asked: Request,
  { q, fileId }: { q: string; fileId?: string | undefined },
) {
  const found = await listFiles(db, viewer, q ? { limit: 12, q } : { limit: 30, unitId: asked.unit.id })
  const isFound = found.items.some((file) => file.id === fileId)
  const chosen = fileId && !isFound ? await filesById(db, viewer, [fileId]) : []
  return [...chosen, ...found.items].map((file) => ({
    id: file.id,
    name: file.title,
    figure: figureOf(file, asked.unit),
    ticks: listedOf(asked.mustHaves, file.options),
    note: [file.sculptor.name && `by ${file.sculptor.name}`, file.scaleMm && `${file.scaleMm} mm`, ...file.options]
      .filter(Boolean)
      .join(', '),
  }))
}

const prefill = z.object({ title: z.string().trim().max(200).default('').catch('') })
const usualKind = 'purchase'

/** The form that describes a file and proposes it at once. */
export function newFileProposalPages(app: App): void {
  app.get(
    '/requests/:id/propose/new',
    { schema: { params: byId, querystring: prefill } },
    async ({ db, member, params, query }, reply) => {
      const asked = await readRequest(db, member, params.id)
      const { currency } = member.group
      return formPage(reply, asked, blank(startOf(asked, query.title, currency)))
    },
  )

  app.post('/requests/:id/propose/new', withId, async ({ db, member, params, body }, reply) => {
    const asked = await readRequest(db, member, params.id)
    const typed = withListed(asked, (body ?? {}) as Values)
    const form = readForm(newProposal, bodyFor(asked, typed))
    const made = await form.submit((data) =>
      inTransaction(db, async (trx) => {
        const proposal = await propose(trx, member, asked.id, data)
        await under('/file', () => keepFirstMeasure(trx, member, proposal.file.id, typed))
        return proposal
      }),
    )
    if (made) return seeOther(reply, atAnswer(asked.id, made.id), 'proposed')
    return formPage(reply.code(422), asked, { values: { ...form.values, ...typed }, errors: form.errors })
  })
}

/** What the unit tells of any file that stands in for it. */
function startOf({ unit }: Request, title: string, currency: string): Values {
  const { scaleMm, base } = unit
  const offer = { kind: usualKind, state: 'on sale', price: { currency } }
  return valuesFrom({ file: { title, scaleMm, base, revision: { label: 'first release' }, offer } })
}

/** Must-haves that stand among the file's options are covered, ticked or not. */
function withListed({ mustHaves }: Request, typed: Values): Values {
  const options = [typed['file.options'] ?? ''].flat().flatMap((text) => text.split('\n'))
  return { ...typed, covers: [...new Set([typed.covers ?? [], listedOf(mustHaves, options)].flat(2))] }
}

/** There is always a file, so that what it lacks is said at its fields. */
function bodyFor(asked: Request, typed: Values) {
  const { sculptorId: _unused, ...fields } = withoutMeasure(typed)
  const given = { 'file.sculptor.credit': 'named', ...withoutIdleOffer(fields, 'file.offer.', usualKind) }
  return { ...given, 'file.standsInFor': asked.unit.id }
}

async function formPage(reply: FastifyReply, asked: Request, form: FormState) {
  const { member, server } = reply.request
  const { currency, resinMlPerModel } = member.group
  const props = {
    request: asked,
    form,
    hidden: once(),
    currencies: currenciesFrom(currency),
    resinMlPerModel,
    worker: server.assets.mesh,
  }
  const title = `Propose a new file for ${asked.wanted} × ${asked.unit.name}`
  return page(reply, { title, children: <ProposeNew {...props} /> })
}
