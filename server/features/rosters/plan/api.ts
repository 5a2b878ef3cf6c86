import { type App, answers, byId, noContent, ofId, problems } from '../../../http/route.ts'
import { shownTitle } from '../../catalogue/files/rules.ts'
import { ownRoster } from '../queries.ts'
import { plannerOf } from './planner.ts'
import { readPlan } from './read.ts'
import { askedPlan, shownPlan, shownWhatIf, whatIfQuery } from './schema.ts'
import { titlesOf } from './show.ts'
import { askToStop } from './stored.ts'
import { whatIfOf } from './what-ifs.ts'

/** A plan is made for the owner of its roster, from what they have, and shown to nobody else. */
export function rosterPlanApi(app: App): void {
  const planner = plannerOf(app)

  app.post(
    '/rosters/:id/plan',
    {
      // No transaction: the plan goes on after the answer. Sent twice, the second is refused or plans the same again.
      config: { harmlessTwice: true },
      schema: {
        params: byId,
        body: askedPlan.nullish(),
        response: { 202: shownPlan, ...problems },
      },
    },
    async ({ db, member, params, body }, reply) => {
      const roster = await ownRoster(db, member, params.id)
      const facts = await planner.plan(db, member, roster, body ?? askedPlan.parse({}), reply.raw)
      const files = [...facts.files.values()].map((file) => ({ id: file.id, title: shownTitle(file, member) }))
      const { entries, spend, bought } = facts
      const plan = await readPlan(db, member, roster.id, { titles: titlesOf(files), entries, spend, bought })
      reply.header('location', `/api/v1/rosters/${params.id}/plan`)
      return plan
    },
  )

  app.get('/rosters/:id/plan', answers(shownPlan, ofId), async ({ db, member, params }) => {
    await ownRoster(db, member, params.id)
    return readPlan(db, member, params.id)
  })

  app.post(
    '/rosters/:id/plan/stop',
    { config: { harmlessTwice: true }, ...noContent(ofId) },
    async ({ db, member, params }) => {
      await ownRoster(db, member, params.id)
      await askToStop(db, params.id)
    },
  )

  app.get(
    '/rosters/:id/plan/what-ifs',
    answers(shownWhatIf, { params: byId, querystring: whatIfQuery }),
    ({ db, member, params, query }) => whatIfOf(db, member, params.id, query),
  )
}
