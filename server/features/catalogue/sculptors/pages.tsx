import { figureRowScale } from '../../../../web/pages/FileWall.tsx'
import { EditSculptor, Sculptors } from '../../../../web/pages/Sculptors.tsx'
import { isSteward } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm, versionOf } from '../../../http/form.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { newestOfSculptors } from '../files/queries.ts'
import { changedSculptor, sculptorList } from '../files/schema.ts'
import { nextPage } from '../files/show.ts'
import { thinned } from '../measures/thinned.ts'
import { changeSculptor, listSculptors, readSculptor } from './queries.ts'

/** So many files of a sculptor are drawn. */
const mostDrawn = 8

/** Who made the files, as far as they may be named; stewards change names and wishes. */
const forStewards = { config: { access: 'steward' as const }, schema: { params: byId } }

export function sculptorPages(app: App): void {
  app.get('/sculptors', { schema: { querystring: sculptorList } }, async (request, reply) => {
    const { db, member, query } = request
    const { items, next } = await listSculptors(db, member, query)
    const ids = items.map(({ id }) => id)
    const newest = await newestOfSculptors(db, member, ids, mostDrawn)
    const pxPerMm = figureRowScale([...newest.values()].flat())
    const sculptors = items.map((one) => ({
      ...one,
      newest: (newest.get(one.id) ?? []).map((file) => thinned(file, pxPerMm)),
    }))
    const props = { sculptors, pxPerMm, q: query.q ?? '', isSteward: isSteward(member) }
    return page(request, reply, {
      title: 'Sculptors',
      children: <Sculptors {...props} next={next && nextPage(request.url, next)} />,
    })
  })

  app.get('/sculptors/suggest', { schema: { querystring: sculptorList } }, async (request) => {
    const { items } = await listSculptors(request.db, request.member, { ...request.query, limit: 8 })
    return {
      items: items.map(({ id, name, files }) => ({
        id,
        label: name,
        note: files === 1 ? '1 file known' : `${files} files known`,
        href: `/files?sculptorId=${id}`,
      })),
    }
  })

  app.get('/sculptors/:id/edit', forStewards, async (request, reply) => {
    const { id, name, credit, version } = await readSculptor(request.db, request.member, request.params.id)
    const props = { form: blank({ name, credit }), hidden: madeFrom(version), mistake: mistakeOf(id, version) }
    const action = `/sculptors/${id}/edit`
    return page(request, reply, { title: `Change ${name}`, children: <EditSculptor {...props} action={action} /> })
  })

  app.post('/sculptors/:id/edit', forStewards, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedSculptor, request.body)
    const wanted = versionOf(request.body)
    const done = await form.submit((data) => changeSculptor(request.db, request.member, id, data, wanted))
    if (done) return seeOther(reply, '/sculptors', 'saved')
    reply.code(422)
    const { name, version } = await readSculptor(request.db, request.member, id)
    const props = {
      form,
      hidden: madeFrom(version),
      action: `/sculptors/${id}/edit`,
      mistake: mistakeOf(id, version),
    }
    return page(request, reply, { title: `Change ${name}`, children: <EditSculptor {...props} /> })
  })
}

const mistakeOf = (id: string, version: number) => ({
  path: `/sculptors/${id}`,
  hidden: madeFrom(version),
  mayMerge: true,
})
