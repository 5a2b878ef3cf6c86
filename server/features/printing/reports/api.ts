import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes, noContent } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { removePrint } from '../plates/changes.ts'
import { readPlate } from '../plates/queries.ts'
import { verdictSchema } from '../plates/schema.ts'
import { addReport, changeReport } from './changes.ts'
import { listReports, readReport, reportAuthor } from './queries.ts'
import { changedReport, judgedReportSchema, newReport, reportList, reportSchema } from './schema.ts'
import { verdictOf } from './verdict.ts'

export function reportsApi(app: App): void {
  app.get(
    '/reports',
    { schema: { querystring: reportList, response: lists(reportSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listReports(db, member, query)),
  )

  app.post(
    '/reports',
    { schema: { body: newReport, response: makes(judgedReportSchema) } },
    async ({ db, member, body }, reply) => {
      const { plate, report } = await addReport(db, member, body, app.now())
      return sendMade(reply, '/reports', { ...report, verdict: await verdictOf(db, plate) })
    },
  )

  app.get(
    '/reports/:id',
    { schema: { params: byId, response: answers(reportSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readReport(db, member, params.id)),
  )

  app.patch(
    '/reports/:id',
    { schema: { params: byId, body: changedReport, response: answers(judgedReportSchema) } },
    async (request, reply) => {
      const { id } = request.params
      const { memberId } = await reportAuthor(request.db, id)
      const wanted = versionToChange(request, memberId === request.member.id)
      const how = { wanted, now: app.now() }
      const { plate, report } = await changeReport(request.db, request.member, id, request.body, how)
      return sendVersion(reply, { ...report, verdict: await verdictOf(request.db, plate) })
    },
  )

  app.delete('/reports/:id', { schema: { params: byId, response: noContent } }, async (request) => {
    const { id } = request.params
    const { memberId } = await reportAuthor(request.db, id)
    const wanted = versionToChange(request, memberId === request.member.id)
    await removePrint(request.db, request.member, id, wanted)
  })

  app.get(
    '/reports/:id/verdict',
    { schema: { params: byId, response: answers(verdictSchema) } },
    async ({ db, member, params }) => {
      const { plateId } = await reportAuthor(db, params.id)
      return verdictOf(db, await readPlate(db, member, plateId))
    },
  )
}
