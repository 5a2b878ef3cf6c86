import { z } from 'zod'
import { neverKeep } from '../../../http/kept-answers.ts'
import { blank, readForm, seeOther } from '../../../http/page.tsx'
import { type App, byId, sameUntilWritten, withId } from '../../../http/route.ts'
import { ownRoster } from '../queries.ts'
import { rosterPage } from '../show.tsx'
import { askedByForm, planForm } from './form.ts'
import { plannerOf } from './planner.ts'
import { type WhatIfQuery, whatIfQuery } from './schema.ts'
import { askToStop } from './stored.ts'
import { whatIfOf } from './what-ifs.ts'

const question = z.object({ whatIf: z.string().optional().catch(undefined), said: z.string().optional() })

/** `/rosters/:id` with its plan, and the forms of it. */
export function rosterPlanPages(app: App): void {
  const planner = plannerOf(app)

  app.get(
    '/rosters/:id',
    { ...sameUntilWritten, schema: { params: byId, querystring: question } },
    async (request, reply) => {
      const { db, member, params, query } = request
      const asked = whatIfAsked(query.whatIf)
      if (!asked) return rosterPage(reply, params.id)
      const answer = await whatIfOf(db, member, params.id, asked)
      // What the time did not suffice for may be found by whoever asks again.
      neverKeep(request)
      return rosterPage(reply, params.id, { whatIf: { asked: query.whatIf ?? '', answer } })
    },
  )

  app.post('/rosters/:id/plan', { config: { harmlessTwice: true }, ...withId }, async (request, reply) => {
    const { db, member, params } = request
    const roster = await ownRoster(db, member, params.id)
    const { another: _, ...body } = (request.body ?? {}) as Record<string, unknown>
    const planning = readForm(planForm, body)
    const planned = await planning.submit((data) => planner.plan(db, member, roster, askedByForm(data), reply.raw))
    if (!planned) return rosterPage(reply.code(422), params.id, { planning })
    return seeOther(reply, `/rosters/${params.id}#plan`, 'being-planned')
  })

  // Where a form was sent back, its address is looked up again by whoever reloads it.
  for (const form of ['plan', 'plan/entries'])
    app.get(`/rosters/:id/${form}`, withId, ({ params }, reply) => seeOther(reply, `/rosters/${params.id}#plan`))

  // The form as it stands, with one entry more to choose a file for.
  app.post(
    '/rosters/:id/plan/entries',
    { config: { harmlessTwice: true }, ...withId },
    async ({ db, member, params, body }, reply) => {
      await ownRoster(db, member, params.id)
      const { values } = readForm(z.unknown(), body)
      const { another, ...rest } = values
      const isOne = typeof another === 'string' && another !== ''
      const planning = blank(isOne ? { [`pins.${another}`]: '', ...rest } : rest)
      return rosterPage(reply, params.id, { planning, isPinning: true })
    },
  )

  app.post(
    '/rosters/:id/plan/stop',
    { config: { harmlessTwice: true }, ...withId },
    async ({ db, member, params }, reply) => {
      await ownRoster(db, member, params.id)
      await askToStop(db, params.id)
      return seeOther(reply, `/rosters/${params.id}#plan`, 'plan-stopping')
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
