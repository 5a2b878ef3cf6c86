import type { FastifyReply } from 'fastify'
import { EditUnit } from '../../../../web/pages/Units.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange, isSteward } from '../../../http/access.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import { addUnit, changeUnit, listUnits, readUnit, unitAuthor, whoChangesUnits } from './queries.ts'
import { changedUnit, newUnit, type Unit, unitList } from './schema.ts'
import { unitSuggestion } from './suggestion.ts'

/** The forms of units; `/units` and `/units/:id` tell what stand-ins cost, and are the answers' (features/requests/answers). */
export function unitPages(app: App): void {
  app.get('/units/suggest', { schema: { querystring: unitList } }, async ({ db, query }) => {
    const { items } = await listUnits(db, { ...query, limit: 8 })
    return { items: items.map(unitSuggestion) }
  })

  app.get('/units/new', ({ member, query }, reply) => {
    const { currency } = member.group
    const name = String((query as { name?: unknown }).name ?? '').slice(0, 120)
    return newPage(reply, blank({ name, modelsPerUnit: '1', scaleMm: '28', 'retailPrice.currency': currency }))
  })

  app.post('/units/new', async ({ db, member, body }, reply) => {
    const form = readForm(newUnit, body)
    const unit = await form.submit((data) => addUnit(db, member.id, data))
    return unit ? seeOther(reply, `/units/${unit.id}`, 'unit-added') : newPage(reply.code(422), form)
  })

  app.get('/units/:id/edit', withId, async ({ db, member, params }, reply) => {
    const unit = await readUnit(db, params.id)
    expectMayChange(member, (await unitAuthor(db, unit.id)).createdBy, whoChangesUnits)
    return editPage(reply, unit, blank(valuesOf(unit, member.group.currency)))
  })

  app.post('/units/:id/edit', withId, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(changedUnit, body, { whole: true })
    const unit = await form.submit((data) => changeUnit(db, member, params.id, data, wanted))
    if (unit) return seeOther(reply, `/units/${params.id}`, 'saved')
    return editPage(reply.code(422), await readUnit(db, params.id), form)
  })
}

function newPage(reply: FastifyReply, form: FormState) {
  const props = {
    form,
    currencies: currenciesFrom(reply.request.member.group.currency),
    hidden: once(),
    action: '/units/new',
  }
  return page(reply, { title: 'Add a unit', children: <EditUnit {...props} /> })
}

function editPage(reply: FastifyReply, { id, name, version }: Unit, form: FormState) {
  const { member } = reply.request
  const props = {
    form,
    currencies: currenciesFrom(member.group.currency),
    hidden: madeFrom(version),
    mistake: { path: `/units/${id}`, hidden: madeFrom(version), mayMerge: isSteward(member) },
    action: `/units/${id}/edit`,
  }
  return page(reply, { title: `Change ${name}`, children: <EditUnit {...props} /> })
}

/** A unit as the values of its form. */
const valuesOf = ({ name, aliases, setting, scaleMm, base, modelsPerUnit, retailPrice }: Unit, currency: string) => ({
  ...valuesFrom({ name, setting, scaleMm, base, modelsPerUnit, retailPrice: retailPrice ?? { currency } }),
  aliases: aliases.join('\n'),
})
