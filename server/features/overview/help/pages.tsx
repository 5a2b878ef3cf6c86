import { ApiDocs } from '../../../../web/pages/ApiDocs.tsx'
import { Help } from '../../../../web/pages/Help.tsx'
import { apiDocument } from '../../../http/openapi.ts'
import { page } from '../../../http/page.tsx'
import { type App, forAll } from '../../../http/route.ts'
import { seenLabels } from '../../../scoring/labels.ts'
import { apiDoc } from './api-doc.ts'
import { helpTexts } from './texts.ts'

/** `/help`: how everything is counted; `/api`: what programs may ask. */
export function helpPages(app: App): void {
  app.get('/help', forAll, (_request, reply) =>
    page(reply, { title: 'Help', children: <Help texts={helpTexts()} seen={seen} /> }),
  )

  app.get('/api', forAll, (_request, reply) =>
    page(reply, {
      title: 'The API',
      children: <ApiDocs {...apiDoc(apiDocument(app))} writes={app.writeLimits} />,
    }),
  )
}

const seen = Object.entries(seenLabels).map(([label, [file, machine, plate]]) => ({
  seen: label,
  file,
  machine,
  plate,
}))
