import { z } from 'zod'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { readForm } from '../../../http/form.ts'
import { seeOther } from '../../../http/page.tsx'
import { ownRoster } from '../queries.ts'
import { rosterPage } from '../show.tsx'
import { askedByForm, planForm, planFormShape } from './form.ts'
import { plannerOf } from './planner.ts'
import { type WhatIfQuery, whatIfQuery } from './schema.ts'
import { readPlan } from './show.ts'
import { askToStop } from './stored.ts'
import { whatIfOf } from './what-ifs.ts'

const question = z.object({ whatIf: z.string().optional().catch(undefined), said: z.string().optional() })

/** `/rosters/:id` with its plan, and the forms of it. */
export function rosterPlanPages(app: App): void {
  const planner = plannerOf(app)

  app.get('/rosters/:id', { schema: { params: byId, querystring: question } }, async (request, reply) => {
    const { db, member, params, query } = request
    const asked = whatIfAsked(query.whatIf)
    if (!asked) return rosterPage(request, reply, params.id)
    const answer = await whatIfOf(db, member, params.id, asked)
    return rosterPage(request, reply, params.id, { whatIf: { asked: query.whatIf ?? '', answer } })
  })

  app.post(
    '/rosters/:id/plan',
    { config: { harmlessTwice: true }, schema: { params: byId } },
    async (request, reply) => {
      const { db, member, params } = request
      await ownRoster(db, member, params.id)
      const planning = readForm(planForm, request.body, planFormShape)
      const plan = await planning.submit(async (data) => {
        await planner.plan(db, member, params.id, askedByForm(data))
        return readPlan(db, member, params.id)
      })
      if (!plan) return rosterPage(request, reply.code(422), params.id, { planning })
      return seeOther(reply, `/rosters/${params.id}#plan`, plan.state === 'running' ? 'being-planned' : 'planned')
    },
  )

  app.post(
    '/rosters/:id/plan/stop',
    { config: { harmlessTwice: true }, schema: { params: byId } },
    async (request, reply) => {
      await ownRoster(request.db, request.member, request.params.id)
      await askToStop(request.db, request.params.id)
      return seeOther(reply, `/rosters/${request.params.id}#plan`, 'plan-stopping')
    },
  )
}

/** One of the form's questions: a kind, or `offer` or `entry` with an id. Whatever it is not is not asked. */
function whatIfAsked(text: string | undefined): WhatIfQuery | undefined {
  const [what = '', about] = text?.split(' ') ?? []
  const query =
    what === 'offer'
      ? { kind: 'without offer', offerId: about }
      : what === 'entry'
        ? { kind: 'second choice', entryId: about }
        : { kind: text }
  return text === undefined ? undefined : whatIfQuery.safeParse(query).data
}
