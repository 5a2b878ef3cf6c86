import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { inTransaction } from '../../../../db/connect.ts'
import { ProposeNew } from '../../../../web/pages/ProposeNew.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { under } from '../../../http/problem.ts'
import { type App, byId, withId } from '../../../http/route.ts'
import { keepFirstMeasure, withoutMeasure } from '../../catalogue/measures/with-file.ts'
import { withoutIdleOffer } from '../../catalogue/offers/idle.ts'
import { atAnswer } from '../requests/at-answer.ts'
import { readRequest } from '../requests/queries.ts'
import type { Request } from '../requests/schema.ts'
import { propose } from './queries.ts'
import { listedOf } from './rules.ts'
import { newProposal } from './schema.ts'

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
