import type { Db } from '../../../../db/connect.ts'
import { type App, answers, byId, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { removePrint } from '../plates/changes.ts'
import { readPlate } from '../plates/queries.ts'
import { verdictSchema } from '../plates/schema.ts'
import { addReport, changeReport, listReports, type OfPlate, readReport, reportAuthor } from './queries.ts'
import { changedReport, judgedReportSchema, newReport, reportList, reportSchema } from './schema.ts'
import { verdictOf } from './verdict.ts'

const judged = async (db: Db, { plate, report }: OfPlate) => ({ ...report, verdict: await verdictOf(db, plate) })

export function reportsApi(app: App): void {
  app.get('/reports', lists(reportSchema, { querystring: reportList }), ({ db, member, query }) =>
    listReports(db, member, query),
  )

  app.post('/reports', makes(judgedReportSchema, { body: newReport }), async ({ db, member, body }) =>
    judged(db, await addReport(db, member, body, app.now())),
  )

  app.get('/reports/:id', answers(reportSchema, ofId), ({ db, member, params }) => readReport(db, member, params.id))

  app.patch(
    '/reports/:id',
    answers(judgedReportSchema, { params: byId, body: changedReport }),
    async ({ db, member, params, body, wanted }) =>
      judged(db, await changeReport(db, member, params.id, body, { wanted, now: app.now() })),
  )

  app.delete('/reports/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    removePrint(db, member, params.id, wanted),
  )

  app.get('/reports/:id/verdict', answers(verdictSchema, ofId), async ({ db, member, params }) => {
    const { plateId } = await reportAuthor(db, params.id)
    return verdictOf(db, await readPlate(db, member, plateId))
  })
}
