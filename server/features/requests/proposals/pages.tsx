import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { Propose } from '../../../../web/pages/Propose.tsx'
import { figureOf } from '../../../../web/pages/StandInCells.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { id } from '../../../http/fields.ts'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, byId, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { filesById, listFiles } from '../../catalogue/files/queries.ts'
import { withShadow } from '../../catalogue/measures/units-drawn.ts'
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
      form.errors.covers ??= `The file lists ${quoted(unticked)}, so this is ticked now. Untick it if it is not so.`
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
