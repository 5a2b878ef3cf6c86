import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
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
    { schema: { querystring: reportList, response: { 200: pageOf(reportSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listReports(request.db, request.member, request.query)),
  )

  app.post(
    '/reports',
    { schema: { body: newReport, response: { 201: judgedReportSchema, ...problems } } },
    async (request, reply) => {
      const { plate, report } = await addReport(request.db, request.member, request.body, app.now())
      sendVersion(reply, report.version).code(201).header('location', `/api/v1/reports/${report.id}`)
      return { ...report, verdict: await verdictOf(request.db, plate) }
    },
  )

  app.get(
    '/reports/:id',
    { schema: { params: byId, response: { 200: reportSchema, ...problems } } },
    async (request, reply) => {
      const report = await readReport(request.db, request.member, request.params.id)
      sendVersion(reply, report.version)
      return report
    },
  )

  app.patch(
    '/reports/:id',
    { schema: { params: byId, body: changedReport, response: { 200: judgedReportSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const { memberId } = await reportAuthor(request.db, id)
      const wanted = versionToChange(request, memberId === request.member.id)
      const how = { wanted, now: app.now() }
      const { plate, report } = await changeReport(request.db, request.member, id, request.body, how)
      sendVersion(reply, report.version)
      return { ...report, verdict: await verdictOf(request.db, plate) }
    },
  )

  app.delete('/reports/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    const { id } = request.params
    const { memberId } = await reportAuthor(request.db, id)
    const wanted = versionToChange(request, memberId === request.member.id)
    await removePrint(request.db, request.member, id, wanted)
    reply.code(204)
    return null
  })

  app.get(
    '/reports/:id/verdict',
    { schema: { params: byId, response: { 200: verdictSchema, ...problems } } },
    async ({ db, member, params }) => {
      const { plateId } = await reportAuthor(db, params.id)
      return verdictOf(db, await readPlate(db, member, plateId))
    },
  )
}
