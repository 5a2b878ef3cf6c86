import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { later, type Making } from './calendar.ts'
import { fileKeys, type MadeFiles } from './files/index.ts'
import data from './measures.json' with { type: 'json' }

/** Rings as a line of text, "0,0 4,0 4,9;…", in mm. */
const outline = z
  .string()
  .regex(/^[\d., ;-]+$/)
  .transform((text) =>
    text.split(';').map((ring) => ring.split(' ').map((point) => point.split(',').map(Number) as [number, number])),
  )

/** What a browser would have measured of a file's newest revision; of some files nobody has measured anything. */
const shape = z.strictObject({
  widthMm: z.number(),
  depthMm: z.number(),
  heightMm: z.number(),
  volumeMl: z.number(),
  surfaceMm2: z.number(),
  overlapping: z.boolean(),
  shells: z.int(),
  openEdges: z.int(),
  nonManifoldEdges: z.int(),
  invertedShells: z.int(),
  widestLayerMm2: z.number(),
  widestLayerAtMm: z.number(),
  front: outline,
  side: outline,
  above: outline,
})
const measures = z.record(z.string(), shape).parse(data)

export function makeMeasures({ calendar, id }: Making, files: MadeFiles): Insertable<Tables['measure']>[] {
  const revisions = new Map(files.revisions.map((revision) => [revision.id, revision]))
  return fileKeys.flatMap((key) => {
    const [measure, revision] = [measures[key], revisions.get(files.revisionIds[key].at(-1) ?? '')]
    if (!measure || !revision) return []
    const { front, side, above, ...numbers } = measure
    const measuredAt = later(calendar.at(files.revisionAgo[key].at(-1) ?? 1, 21), 20)
    return [
      {
        id: id(measuredAt),
        revisionId: String(revision.id),
        supportSetId: null,
        sha256s: revision.sha256 ? [revision.sha256] : [],
        ...numbers,
        front: JSON.stringify(front),
        side: JSON.stringify(side),
        above: JSON.stringify(above),
        midAir: null,
        layerUm: null,
        measuredBy: revision.createdBy,
        measuredAt,
      },
    ]
  })
}
