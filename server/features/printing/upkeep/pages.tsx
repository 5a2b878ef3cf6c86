import type { FastifyReply, FastifyRequest } from 'fastify'
import { EditUpkeep } from '../../../../web/pages/EditUpkeep.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm } from '../../../http/form.ts'
import { todayOf } from '../../../http/group.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { printerOwner, readPrinter } from '../printers/queries.ts'
import { changedUpkeep, type Upkeep } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { whoNotesUpkeep } from './queries.ts'

/** `/upkeep/:id/edit`: corrects what was noted, or takes it back. It is noted on the printer's page. */
export function upkeepPages(app: App): void {
  app.get('/upkeep/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const upkeep = await readUpkeep(request.db, request.params.id)
    const { ownerId } = await printerOwner(request.db, upkeep.printerId)
    expectMayChange(request.member, ownerId, whoNotesUpkeep)
    const { kind, on, remark } = upkeep
    return editPage(request, reply, upkeep, blank({ kind, on, remark }))
  })

  app.post('/upkeep/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, body } = request
    const { id } = request.params
    const form = readForm(changedUpkeep, body, { whole: true })
    const how = { wanted: request.wanted, now: app.now() }
    const done = await form.submit((data) => changeUpkeep(db, member, id, data, how))
    if (done) return seeOther(reply, `/printers/${done.printerId}#upkeep`, 'upkeep-changed')
    return editPage(request, reply.code(422), await readUpkeep(db, id), form)
  })

  app.post('/upkeep/:id/take-back', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params, wanted } = request
    const { printerId } = await readUpkeep(db, params.id)
    await takeUpkeepBack(db, member, params.id, wanted)
    return seeOther(reply, `/printers/${printerId}#upkeep`, 'upkeep-taken-back')
  })
}

async function editPage(request: FastifyRequest, reply: FastifyReply, upkeep: Upkeep, form: FormState) {
  const { id, printerId, version } = upkeep
  const printer = await readPrinter(request.db, request.member, printerId, todayOf(request))
  const props = { id, printer, form, hidden: madeFrom(version), takeBack: madeFrom(version) }
  return page(request, reply, {
    title: `Correct what was done to ${printer.name}`,
    children: <EditUpkeep {...props} />,
  })
}
