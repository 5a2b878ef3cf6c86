import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { EditFile } from '../../../../web/pages/EditFile.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { expectMayChange, isSteward } from '../../../http/access.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom, withoutUnchanged } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { keepFirstMeasure, withoutMeasure } from '../measures/posted.ts'
import { withoutIdleOffer } from '../offers/posted.ts'
import { findUnit, listUnits } from '../units/queries.ts'
import type { Unit } from '../units/schema.ts'
import { unitSuggestion } from '../units/suggestion.ts'
import { addFile, changeFile, whoChangesFiles } from './changes.ts'
import { type Meant, whatIsMeant } from './meant.ts'
import { readFile } from './queries.ts'
import { changedFile, newFile, usualFormats, type WholeFile } from './schema.ts'

const prefill = z.object({
  title: z.string().trim().max(200).default('').catch(''),
  unitId: z.uuid().optional().catch(undefined),
})

/** Forms that add and change files. */
export function fileEditPages(app: App): void {
  app.get('/files/new', { schema: { querystring: prefill } }, async ({ db, member, query }, reply) => {
    const unit = query.unitId ? await findUnit(db, query.unitId) : null
    const form = blank(firstValues(query.title, unit, member.group.currency))
    return newFilePage(reply, { form, found: [] })
  })

  app.post('/files/new', async (request, reply) => {
    const meant = await unitMeant(request.db, ownFields.parse(request.body ?? {}))
    const body = withoutOwnFields(request.body, meant.id ? [meant.id] : [])
    const form = readForm(newFile, { 'sculptor.credit': 'named', ...withoutIdleOffer(body) })
    const file = meant.question
      ? undefined
      : await form.submit((data) =>
          inTransaction(request.db, async (trx) => {
            const added = await addFile(trx, request.member, data, app.now())
            await keepFirstMeasure(trx, request.member, added.id, request.body)
            return added
          }),
        )
    if (file) return seeOther(reply, `/files/${file.id}`, 'file-added')
    return newFilePage(reply.code(422), { form: asTyped(form, request.body, meant), found: meant.found })
  })

  app.get('/files/:id/edit', withId, async ({ db, member, params }, reply) => {
    const file = await readFile(db, member, params.id)
    expectMayChange(member, file.createdBy.id, whoChangesFiles)
    return changedFilePage(reply, { file, form: blank(valuesOf(file)), found: [] })
  })

  app.post('/files/:id/edit', withId, async (request, reply) => {
    const { id } = request.params
    const before = await readFile(request.db, request.member, id)
    const meant = await unitMeant(request.db, ownFields.parse(request.body ?? {}))
    const body = withoutOwnFields(request.body, meant.id ? [meant.id] : [])
    const form = readForm(changedFile, body, { whole: true })
    const wanted = request.wanted
    const { name, credit } = before.sculptor
    const shown = { ...before, sculptor: { name, credit } }
    const file = meant.question
      ? undefined
      : await form.submit((data) => changeFile(request.db, request.member, id, withoutUnchanged(data, shown), wanted))
    if (file) return seeOther(reply, `/files/${id}`, 'saved')
    reply.code(422)
    const now = await readFile(request.db, request.member, id)
    return changedFilePage(reply, {
      file: now,
      form: asTyped(form, request.body, meant),
      found: meant.found,
    })
  })
}

/** What the form says besides the file itself. */
const ownFields = z.object({
  unit: z.string().trim().default('').catch(''),
  unitId: z.string().default('').catch(''),
  unitMadeFor: z.string().default('').catch(''),
})

function withoutOwnFields(posted: unknown, unitIds: string[]): Record<string, unknown> {
  const { unit, unitId, unitMadeFor, sculptorId, ...body } = withoutMeasure(posted)
  return { ...body, standsInFor: [body.standsInFor ?? '', ...unitIds].flat() }
}

/** The refused form as it was typed, with the question that its unit raised. */
function asTyped(form: FormState, posted: unknown, { question }: Meant) {
  const { unit, unitId } = ownFields.parse(posted ?? {})
  const values = { ...form.values, ...(posted as Values), unit, unitId }
  return { values, errors: question ? { ...form.errors, unit: question } : form.errors }
}

const unitMeant = (db: Db, { unit, unitId, unitMadeFor }: z.infer<typeof ownFields>) =>
  whatIsMeant(
    { typed: unit, id: unitId, madeFor: unitMadeFor },
    async (words) => (await listUnits(db, { limit: 8, q: words.slice(0, 120) })).items.map(unitSuggestion),
    'The group knows no such unit. Leave this empty, or add the unit first.',
  )

type Shown = { form: FormState; found: Meant['found'] }

async function newFilePage(reply: FastifyReply, shown: Shown) {
  const { member, server } = reply.request
  const { currency, resinMlPerModel } = member.group
  const props = {
    ...shown,
    action: '/files/new',
    hidden: { ...once(), unitMadeFor: String(shown.form.values.unit ?? '') },
    currencies: currenciesFrom(currency),
    formats: [...usualFormats],
    units: [],
    resinMlPerModel,
    worker: server.assets.mesh,
  }
  return page(reply, { title: 'Add a file', children: <EditFile {...props} isNew /> })
}

async function changedFilePage(reply: FastifyReply, shown: Shown & { file: WholeFile }) {
  const { member } = reply.request
  const { currency, resinMlPerModel } = member.group
  const { file, form } = shown
  const props = {
    ...shown,
    action: `/files/${file.id}/edit`,
    hidden: { ...madeFrom(file.version), unitMadeFor: String(form.values.unit ?? '') },
    currencies: currenciesFrom(currency),
    formats: [...new Set([...usualFormats, ...file.formats])],
    units: file.units,
    resinMlPerModel,
    sculptorHidden: file.sculptor.id === null,
    mistake: { path: `/files/${file.id}`, hidden: madeFrom(file.version), mayMerge: isSteward(member) },
  }
  return page(reply, { title: `Change ${file.title}`, children: <EditFile {...props} /> })
}

/** What a new file begins with: the unit that it is to stand in for has a scale and a base. */
const firstValues = (title: string, unit: Unit | null, currency: string): Values => ({
  ...valuesFrom({ title, unit: unit?.name, unitId: unit?.id, scaleMm: unit?.scaleMm, base: unit?.base }),
  ...valuesFrom({ revision: { label: 'first release' }, offer: { state: 'on sale', price: { currency } } }),
})

/** A file as the values of its form. */
const valuesOf = ({ title, standsInFor, scaleMm, base, heightMm, resinMl, formats, ...file }: WholeFile): Values => ({
  ...valuesFrom({ title, standsInFor, scaleMm, base, heightMm, resinMl, formats }),
  ...valuesFrom({ sculptor: { name: file.sculptor.name, credit: file.sculptor.credit } }),
  ...valuesFrom({ licence: file.licence, remark: file.remark }),
  options: file.options.join('\n'),
  styleTags: file.styleTags.join('\n'),
})
