import { ApiDocs } from '../../../web/pages/ApiDocs.tsx'
import { Help } from '../../../web/pages/Help.tsx'
import type { App } from '../../http/app-type.ts'
import { apiDocument } from '../../http/openapi.ts'
import { page } from '../../http/page.tsx'
import type { Shape } from '../../scoring/beta.ts'
import { type LabelRow, seenLabels } from '../../scoring/labels.ts'
import { crowdings, platePriors, startingHyper } from '../../scoring/priors.ts'
import { groupPrior, priorOfSet } from '../../scoring/sculptor-tier.ts'
import { apiDoc } from './api-doc.ts'

const open = { config: { access: 'public' as const } }

/** `/help`: how everything is counted; `/api`: what programs may ask. */
export function helpPages(app: App): void {
  app.get('/help', open, (request, reply) =>
    page(request, reply, { title: 'Help', children: <Help seen={seen} starts={starts} /> }),
  )

  app.get('/api', open, (request, reply) =>
    page(request, reply, {
      title: 'The API',
      children: <ApiDocs {...apiDoc(apiDocument(app))} writes={app.writeLimits} />,
    }),
  )
}

const isSilent = ([file, machine, plate]: LabelRow) => file === machine && machine === plate

const seen = Object.entries<LabelRow>(seenLabels).map(([label, row]) => ({
  seen: label,
  file: row[0],
  machine: row[1],
  plate: row[2],
  isSilent: isSilent(row),
}))

const start = (what: string, [good, bad]: Shape) => ({ what, chance: good / (good + bad), worth: good + bad })
const { am, bm } = startingHyper
const starts = [
  start('copies of a file by a new sculptor', priorOfSet(groupPrior(startingHyper), startingHyper)),
  start('copies on a printer after upkeep', [am, bm]),
  ...crowdings.map((crowding) => start(`copies on a ${crowding} plate`, platePriors[crowding])),
]
