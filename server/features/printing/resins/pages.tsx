import type { FastifyReply } from 'fastify'
import { EditResin, Resins } from '../../../../web/pages/Resins.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { currenciesFrom, fromMinor, toMinor } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { type App, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { addResin, changeResin, listResins, readResin, removeResin } from './queries.ts'
import { changedResin, newResin, type Resin, resinList } from './schema.ts'

export function resinPages(app: App): void {
  app.get('/resins', { schema: { querystring: resinList } }, async ({ db, member, query }, reply) => {
    const { group } = member
    const resins = await listResins(db, member, query)
    const rows = resins.items.map((resin) => ({ ...resin, costs: costsOf(resin, member) }))
    const props = { resins: rows, next: resins.next, currency: group.currency }
    return page(reply, { title: 'Your resins', children: <Resins {...props} /> })
  })

  app.get('/resins/new', (_request, reply) => addPage(reply, blank({ gramsPerMl: usualGramsPerMl })))

  app.post('/resins/new', async ({ db, member, body }, reply) => {
    const form = readForm(newResin, body)
    const resin = await form.submit((data) => addResin(db, member, data))
    return resin ? seeOther(reply, '/resins', 'resin-added') : addPage(reply.code(422), form)
  })

  app.get('/resins/:id/edit', withId, async ({ db, member, params }, reply) => {
    const resin = await readResin(db, member, params.id)
    return editPage(reply, resin, blank(valuesOf(resin)))
  })

  app.post('/resins/:id/edit', withId, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(changedResin, body, { whole: true })
    const resin = await form.submit((data) => changeResin(db, member, params.id, data, wanted))
    if (resin) return seeOther(reply, '/resins', 'resin-changed')
    return editPage(reply.code(422), await readResin(db, member, params.id), form)
  })

  app.post('/resins/:id/remove', withId, async ({ db, member, params, wanted }, reply) => {
    const done = await removeResin(db, member, params.id, wanted)
    return seeOther(reply, '/resins', done === 'removed' ? 'resin-removed' : 'resin-retired')
  })
}

/** In the middle of what is usual, to be changed rather than typed (common practice, no source). */
const usualGramsPerMl = '1.1'

function addPage(reply: FastifyReply, form: FormState) {
  const currencies = currenciesFrom(reply.request.member.group.currency)
  const props = { form, currencies, hidden: once(), action: '/resins/new' }
  return page(reply, { title: 'Add a resin', children: <EditResin {...props} /> })
}

function editPage(reply: FastifyReply, resin: Resin, form: FormState) {
  const { member } = reply.request
  const currencies = currenciesFrom(member.group.currency)
  const action = `/resins/${resin.id}`
  const props = {
    form,
    currencies,
    costs: costsOf(resin, member),
    hidden: madeFrom(resin.version),
    action: `${action}/edit`,
    remove: { action: `${action}/remove`, hidden: madeFrom(resin.version) },
  }
  return page(reply, { title: `Change ${resin.name}`, children: <EditResin {...props} /> })
}

/** What it comes to for a model as the group counts one whose resin nobody has entered. */
function costsOf({ pricePerKg, gramsPerMl }: Resin, { group }: Viewer) {
  if (!pricePerKg) return null
  const modelMl = group.resinMlPerModel
  const modelMinor = Math.round((modelMl * gramsPerMl * toMinor(pricePerKg)) / 1000)
  return { kilogram: pricePerKg, model: fromMinor(modelMinor, group.currency), modelMl }
}

/** A resin as the values of its form. */
const valuesOf = ({ name, price, bottleG, bottleMl, gramsPerMl, remark, state }: Resin) =>
  valuesFrom({ name, price, bottleG, bottleMl, gramsPerMl, remark, state })
