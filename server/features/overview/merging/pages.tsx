import type { FastifyReply } from 'fastify'
import { Merge } from '../../../../web/pages/Merge.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, byId, forStewards, withId } from '../../../http/route.ts'
import { kinds } from './kinds.ts'
import { lookFor, merge } from './schema.ts'

type Kind = keyof typeof kinds

/** `/units/:id/merge`, `/units/:id/remove`, and the same of files and sculptors. */
export function mergingPages(app: App): void {
  for (const kind of Object.keys(kinds) as Kind[]) mergingPagesOf(app, kind)
}

function mergingPagesOf(app: App, kind: Kind): void {
  const { list, merge: mergeWith, remove, page: pageOf } = kinds[kind]

  app.get(
    `${list}/:id/merge`,
    { ...forStewards, schema: { params: byId, querystring: lookFor } },
    async ({ params, query: { q } }, reply) => mergePage(reply, { kind, id: params.id, q, form: blank() }),
  )

  app.post(`${list}/:id/merge`, { ...forStewards, ...withId }, async ({ db, params: { id }, body }, reply) => {
    const { q: looked, ...typed } = (body ?? {}) as Record<string, unknown>
    const { q } = lookFor.parse({ q: looked })
    const form = readForm(merge, typed)
    const done = await form.submit(async ({ into }) => {
      await mergeWith(db, { from: id, into })
      return into
    })
    if (done) return seeOther(reply, pageOf(done), 'merged')
    return mergePage(reply.code(422), { kind, id, q, form })
  })

  const removing = kind === 'sculptor' ? forStewards : {}
  app.post(`${list}/:id/remove`, { ...removing, ...withId }, async ({ db, member, params, wanted }, reply) => {
    await remove(db, member, params.id, wanted)
    return seeOther(reply, list, 'removed')
  })
}

interface Shown {
  kind: Kind
  id: string
  q: string
  form: FormState
}

async function mergePage(reply: FastifyReply, { kind, id, q, form }: Shown) {
  const { db, member } = reply.request
  const { list, read, near } = kinds[kind]
  const { name, figure } = await read(db, member, id)
  const words = q || name
  const found = (await near(db, member, words)).filter((one) => one.id !== id)
  const props = {
    kind,
    name,
    figure,
    back: `${list}/${id}/edit`,
    action: `${list}/${id}/merge`,
    form,
    ...once(),
    q: words,
    found,
  }
  return page(reply, { title: `Merge ${name}`, children: <Merge {...props} /> })
}
