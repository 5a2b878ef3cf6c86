import type { FastifyReply, FastifyRequest } from 'fastify'
import { Merge } from '../../../../web/pages/Merge.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, once, readForm } from '../../../http/form.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { kinds } from './kinds.ts'
import { lookFor, merge } from './schema.ts'

type Kind = keyof typeof kinds

/** `/units/:id/merge`, `/units/:id/remove`, and the same of files and sculptors. */
export function mergingPages(app: App): void {
  for (const kind of Object.keys(kinds) as Kind[]) mergingPagesOf(app, kind)
}

function mergingPagesOf(app: App, kind: Kind): void {
  const { list, merge: mergeWith, remove, page: pageOf } = kinds[kind]
  const stewards = { config: { access: 'steward' as const } }

  app.get(
    `${list}/:id/merge`,
    { ...stewards, schema: { params: byId, querystring: lookFor } },
    async (request, reply) => {
      const { q, into } = request.query
      return mergePage(request, reply, { kind, id: request.params.id, q, form: blank(into ? { into } : {}) })
    },
  )

  app.post(`${list}/:id/merge`, { ...stewards, schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const { q: looked, ...typed } = (request.body ?? {}) as Record<string, unknown>
    const { q } = lookFor.parse({ q: looked })
    const form = readForm(merge, typed)
    const done = await form.submit(async ({ into }) => {
      await mergeWith(request.db, { from: id, into })
      return into
    })
    if (done) return seeOther(reply, pageOf(done), 'merged')
    return mergePage(request, reply.code(422), { kind, id, q, form })
  })

  const removing = kind === 'sculptor' ? stewards : {}
  app.post(`${list}/:id/remove`, { ...removing, schema: { params: byId } }, async (request, reply) => {
    await remove(request.db, request.member, request.params.id, request.wanted)
    return seeOther(reply, list, 'removed')
  })
}

interface Shown {
  kind: Kind
  id: string
  q: string
  form: FormState
}

async function mergePage(request: FastifyRequest, reply: FastifyReply, { kind, id, q, form }: Shown) {
  const { db, member } = request
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
  return page(request, reply, { title: `Merge ${name}`, children: <Merge {...props} /> })
}
