import { Files, rowScale } from '../../../../web/pages/Files.tsx'
import { addressWith } from '../../../http/address.ts'
import { page } from '../../../http/page.tsx'
import type { App } from '../../../http/route.ts'
import { thinned } from '../measures/drawn.ts'
import { readSculptor } from '../sculptors/queries.ts'
import { fileSuggestion } from './meant.ts'
import { listFiles } from './queries.ts'
import { fileList } from './schema.ts'

/** `/files`; a file's own page shows more than the catalogue (overview/file), forms are in edit-pages.tsx. */
export function filePages(app: App): void {
  app.get('/files', { schema: { querystring: fileList } }, async ({ db, member, query, url }, reply) => {
    const { items, next } = await listFiles(db, member, query)
    const sculptor = query.sculptorId ? await readSculptor(db, member, query.sculptorId) : null
    const pxPerMm = rowScale(items)
    const files = items.map((file) => thinned(file, pxPerMm))
    const props = { files, pxPerMm, q: query.q ?? '', sculptor, next: next && addressWith(url, 'after', next) }
    return page(reply, {
      title: sculptor ? `Files by ${sculptor.name}` : 'Files',
      children: <Files {...props} />,
    })
  })

  app.get('/files/suggest', { schema: { querystring: fileList } }, async ({ db, member, query }) => {
    const { items } = await listFiles(db, member, { ...query, limit: 8 })
    return { items: items.map(fileSuggestion) }
  })
}
