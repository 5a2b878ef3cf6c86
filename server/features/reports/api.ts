import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { byId } from '../../http/fields.ts'
import { problems } from '../../http/openapi.ts'
import { pageOf, sendPage } from '../../http/paging.ts'
import { sendVersion, versionToChange } from '../../http/version.ts'
import { addReport, changeReport, removeReport } from './changes.ts'
import { listReports, readReport, reportAuthor } from './queries.ts'
import { changedReport, judgedReportSchema, newReport, reportList, reportSchema, verdictSchema } from './schema.ts'
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
      const report = await addReport(request.db, request.member, request.body, app.now())
      sendVersion(reply, report.version).code(201).header('location', `/api/v1/reports/${report.id}`)
      return report
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
      const report = await changeReport(request.db, request.member, id, request.body, { wanted, now: app.now() })
      sendVersion(reply, report.version)
      return report
    },
  )

  app.delete(
    '/reports/:id',
    { schema: { params: byId, response: { 204: z.null(), ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const { memberId } = await reportAuthor(request.db, id)
      const wanted = versionToChange(request, memberId === request.member.id)
      await removeReport(request.db, request.member, id, wanted)
      reply.code(204)
      return null
    },
  )

  app.get(
    '/reports/:id/verdict',
    { schema: { params: byId, response: { 200: verdictSchema, ...problems } } },
    async (request) => verdictOf(request.db, request.params.id),
  )
}
