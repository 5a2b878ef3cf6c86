import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { inTransaction } from '../../../../db/connect.ts'
import { choiceScale, type OfferedFile, ReportedFile } from '../../../../web/pages/ReportedFile.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { id as anId } from '../../../http/fields.ts'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { notFound } from '../../../http/problem.ts'
import { type App, withId } from '../../../http/route.ts'
import { filesById, listFiles } from '../../catalogue/files/queries.ts'
import type { File } from '../../catalogue/files/schema.ts'
import { thinned } from '../../catalogue/measures/drawn.ts'
import { groupModel } from '../../evidence/queries.ts'
import { attach, pictured } from '../pictures/changes.ts'
import { addPlate } from '../plates/changes.ts'
import { readPlate, wetPlates } from '../plates/queries.ts'
import { printersInUse, usualOf, withLook } from '../printers/own.ts'
import { likelyFiles, type WhyOffered } from './choices.ts'
import { countPrints } from './counting.ts'
import { platePage, pressed, toldPrints, usualPlate, usualPrint } from './form-page.tsx'
import { outcomePage } from './outcome-page.tsx'
import { reportAuthor } from './queries.ts'
import { plateForm, wetForm, withPrints } from './schema.ts'

const optionalId = anId.optional().catch(undefined)
/** What may stand in the address; whatever makes no sense is left out, so that an old link still leads somewhere. */
const start = z.object({
  fileId: optionalId,
  entryId: optionalId,
  supports: optionalId,
  printerId: optionalId,
  copies: z
    .string()
    .regex(/^[1-9]\d{0,3}$/)
    .optional()
    .catch(undefined),
  q: z.string().trim().max(200).default('').catch(''),
  said: z.string().optional().catch(undefined),
})

/** Pictures come along, from the camera or from what is there. */
const takes = { config: { takesPictures: true } }

export function reportPages(app: App): void {
  app.get('/reports/new', { schema: { querystring: start } }, async (request, reply) => {
    const { db, member, query } = request
    if (!query.fileId) return choosePage(reply, query)
    const [file] = await filesById(db, member, [query.fileId])
    if (!file) throw notFound('file')
    const plate = { ...(await usualPlate(request)), ...said({ printerId: query.printerId }) }
    const { supports, copies: tried, entryId } = query
    const print = { ...(await usualPrint(db, member, file.id)), ...said({ supports, tried, entryId }) }
    return platePage(reply, blank(withPrints(plate, [print])))
  })

  app.post('/reports/new', takes, async ({ db, member, body }, reply) => {
    const form = readForm(plateForm, body)
    const plate = await form.submit(({ prints, pictures, alt, pictured: place, ...rest }) =>
      inTransaction(db, async (trx) => {
        const told = await toldPrints(trx, member, prints)
        const kept = await addPlate(trx, member, { ...rest, told: true, prints: told }, { now: app.now() })
        const printIds = kept.prints.map(({ id }) => id)
        const entryIds = prints.map(({ entryId }) => entryId)
        await countPrints(trx, member, printIds, entryIds)
        if (pictures.length > 0) await attach(trx, member, { pictures, alt, ...pictured(kept, place) })
        return kept
      }),
    )
    if (plate) return seeOther(reply, `/plates/${plate.id}`, 'reported')
    return platePage(reply.code(422), form)
  })

  app.post('/reports/new/more', { config: { ...takes.config, harmlessTwice: true } }, async (request, reply) => {
    return platePage(reply, await pressed(request, readForm(plateForm, request.body)))
  })

  // With gloves on: which printer, and that nothing on the plate was usable. The rest is told later.
  app.post('/plates/wet', async ({ db, member, body, today }, reply) => {
    const form = readForm(wetForm, body)
    const noted = await form.submit(({ printerId, printedOn = today }) => {
      const plate = { printerId, printedOn, crowding: member.defaultCrowding, resinId: null, remark: '', told: false }
      return addPlate(db, member, plate, { now: app.now() })
    })
    if (noted) return seeOther(reply, `/plates/${noted.id}`, 'plate-noted')
    return choosePage(reply.code(422), { q: '' }, form)
  })

  app.get('/reports/:id', withId, async ({ db, member, params }, reply) => {
    const { plateId } = await reportAuthor(db, params.id)
    return outcomePage(reply, await readPlate(db, member, plateId))
  })
}

/** What an address said of the form's fields. */
const said = (values: Record<string, string | undefined>): Record<string, string> =>
  Object.fromEntries(Object.entries(values).flatMap(([name, value]) => (value === undefined ? [] : [[name, value]])))

const whyWords: Record<WhyOffered, string> = {
  printed: 'you printed it before',
  settled: 'you settled on it',
  archived: 'in your archive',
}

function offered(file: File, why?: WhyOffered): OfferedFile {
  const { id, title, sculptor, heightMm, base, scaleMm } = file
  const { shadow } = thinned(file, choiceScale(file))
  const said = why && { why: whyWords[why] }
  return { id, title, sculptor: sculptor.name, shadow, heightMm, base, scaleMm, ...said }
}

async function choosePage(reply: FastifyReply, { q }: Pick<z.infer<typeof start>, 'q'>, noted?: FormState) {
  const { db, member } = reply.request
  const likely = await likelyFiles(db, member.id)
  const files = await filesById(
    db,
    member,
    likely.map(({ fileId }) => fileId),
  )
  const known = new Map(files.map((file) => [file.id, file]))
  const model = await groupModel(db)
  const printers = (await printersInUse(db, member, model)).map((printer) => withLook(reply.request, printer, model))
  const props = {
    q,
    found: q ? (await listFiles(db, member, { limit: 8, q })).items.map((file) => offered(file)) : [],
    warned: printers.filter(({ look }) => look.due),
    likely: likely.flatMap(({ fileId, why }) => {
      const file = known.get(fileId)
      return file ? [offered(file, why)] : []
    }),
    wet: {
      form: noted ?? blank({ printerId: usualOf(printers, member)?.id ?? '' }),
      hidden: { ...once(), printedOn: reply.request.today },
      printers,
      plates: await wetPlates(db, member.id).execute(),
    },
  }
  const title = 'Report a print'
  return page(reply, { title, lead: 'Which file was on the plate?', children: <ReportedFile {...props} /> })
}
