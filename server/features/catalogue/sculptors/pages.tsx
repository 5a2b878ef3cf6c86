import type { FastifyReply } from 'fastify'
import { EditSculptor, Sculptors } from '../../../../web/pages/Sculptors.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { isSteward } from '../../../http/access.ts'
import { addressWith } from '../../../http/address.ts'
import { blank, madeFrom, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, forStewards, withId } from '../../../http/route.ts'
import { changedSculptor, type Sculptor, sculptorList } from '../files/schema.ts'
import { changeSculptor, listSculptors, readSculptor } from './queries.ts'

/** Who made the files, as far as they may be named; stewards change names and wishes. */
const ofOne = { ...forStewards, ...withId }

export function sculptorPages(app: App): void {
  app.get('/sculptors', { schema: { querystring: sculptorList } }, async ({ db, member, query, url }, reply) => {
    const { items, next } = await listSculptors(db, member, query)
    const props = { sculptors: items, q: query.q ?? '', isSteward: isSteward(member) }
    return page(reply, {
      title: 'Sculptors',
      children: <Sculptors {...props} next={next && addressWith(url, 'after', next)} />,
    })
  })

  app.get('/sculptors/suggest', { schema: { querystring: sculptorList } }, async ({ db, member, query }) => {
    const { items } = await listSculptors(db, member, { ...query, limit: 8 })
    return {
      items: items.map(({ id, name, files }) => ({
        id,
        label: name,
        note: files === 1 ? '1 file known' : `${files} files known`,
        href: `/files?sculptorId=${id}`,
      })),
    }
  })

  app.get('/sculptors/:id/edit', ofOne, async ({ db, member, params }, reply) => {
    const sculptor = await readSculptor(db, member, params.id)
    return editPage(reply, sculptor, blank({ name: sculptor.name, credit: sculptor.credit }))
  })

  app.post('/sculptors/:id/edit', ofOne, async ({ db, member, params, body, wanted }, reply) => {
    const form = readForm(changedSculptor, body)
    const done = await form.submit((data) => changeSculptor(db, member, params.id, data, wanted))
    if (done) return seeOther(reply, '/sculptors', 'saved')
    return editPage(reply.code(422), await readSculptor(db, member, params.id), form)
  })
}

function editPage(reply: FastifyReply, { id, name, files, version }: Sculptor, form: FormState) {
  const hidden = madeFrom(version)
  const mistake = { path: `/sculptors/${id}`, hidden, mayMerge: true }
  const props = {
    form,
    hidden,
    mistake,
    action: `/sculptors/${id}/edit`,
    files: { count: files, href: `/files?sculptorId=${id}` },
  }
  return page(reply, { title: `Change ${name}`, children: <EditSculptor {...props} /> })
}
