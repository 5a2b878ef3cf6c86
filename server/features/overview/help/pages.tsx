import type { Db } from '../../../../db/connect.ts'
import { ApiDocs } from '../../../../web/pages/ApiDocs.tsx'
import { Help } from '../../../../web/pages/Help.tsx'
import { apiDocument } from '../../../http/openapi.ts'
import { page } from '../../../http/page.tsx'
import { type App, forAll } from '../../../http/route.ts'
import { groupModel } from '../../evidence/queries.ts'
import { apiDoc } from './api-doc.ts'
import { figuresBeforeReports, figuresOf } from './figures.ts'
import { helpTexts } from './texts.ts'

/** `/help`: how everything is counted; `/api`: what programs may ask. */
export function helpPages(app: App): void {
  app.get('/help', forAll, async ({ db, viewer }, reply) => {
    // What the group has learnt is its own: whoever is not signed in reads how it starts.
    const learnt = viewer ? await learntFigures(db) : null
    const figures = { start: figuresBeforeReports(), learnt }
    return page(reply, { title: 'Help', children: <Help texts={helpTexts()} figures={figures} /> })
  })

  app.get('/api', forAll, (_request, reply) =>
    page(reply, {
      title: 'The API',
      children: <ApiDocs {...apiDoc(apiDocument(app))} writes={app.writeLimits} />,
    }),
  )
}

async function learntFigures(db: Db) {
  const { group, isFitted, notCounted } = await groupModel(db)
  return { now: isFitted ? figuresOf(group) : null, notCounted }
}
