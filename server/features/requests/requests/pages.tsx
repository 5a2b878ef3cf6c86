import { z } from 'zod'
import type { Db } from '../../../../db/connect.ts'
import { EditRequest } from '../../../../web/pages/EditRequest.tsx'
import { NewRequest } from '../../../../web/pages/NewRequest.tsx'
import { RequestDrawing, RequestLead, RequestSum } from '../../../../web/pages/RequestHead.tsx'
import { RequestPage } from '../../../../web/pages/RequestPage.tsx'
import { expectMayChange, mayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, once, readForm, versionOf } from '../../../http/form.ts'
import { currenciesFrom, fromMinor } from '../../../http/money.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { notFound, Problem } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { withLook } from '../../printing/printers/own.ts'
import { requestAnswers } from '../answers/queries.ts'
import { answersQuery } from '../answers/schema.ts'
import { shownAnswer } from '../answers/show.ts'
import { type Draft, draftOf } from './draft.ts'
import { changeRequest, postRequest, readRequest, whoChangesRequests } from './queries.ts'
import { changedRequest, newRequest, type Request } from './schema.ts'

export function requestPages(app: App): void {
  app.get(
    '/requests/new',
    { schema: { querystring: z.object({ unitId: z.uuid().optional().catch(undefined) }) } },
    async (request, reply) => {
      const draft = await draftOf(request.db, request.member, { unitId: request.query.unitId })
      const { currency } = request.member.group
      const form = blank({ ...draft.values, 'budget.currency': currency })
      const props = { ...shownDraft(draft), form, currencies: currenciesFrom(currency) }
      return page(request, reply, { title: 'Ask for a stand-in', children: <NewRequest {...props} /> })
    },
  )

  app.post('/requests/new', async (request, reply) => {
    const draft = await draftOf(request.db, request.member, request.body)
    const form = readForm(newRequest, draft.body)
    const posted = draft.question
      ? undefined
      : await form.submit((data) => postRequest(request.db, request.member, data))
    if (posted) return seeOther(reply, `/requests/${posted.id}`, 'request-posted')
    reply.code(422)
    const { unitId, ...errors } = form.errors
    const question = draft.question ?? unitId
    form.errors = { ...(question && { unitName: question }), ...errors }
    form.values = { ...form.values, ...draft.values }
    const { currency } = request.member.group
    const props = { ...shownDraft(draft), form, currencies: currenciesFrom(currency) }
    return page(request, reply, { title: 'Ask for a stand-in', children: <NewRequest {...props} /> })
  })

  app.get(
    '/requests/:id',
    { schema: { params: byId, querystring: answersQuery.extend({ said: z.string().optional() }) } },
    async (request, reply) => {
      const { db, member, query } = request
      const { request: asked, answers, facts, ...found } = await requestAnswers(db, member, request.params.id, query)
      const proposals = new Map(found.proposals.map((one) => [one.id, one]))
      const { looksWorthMinor, currency } = member.group
      const shown = answers.items.map((answer) => {
        const proposal = proposals.get(answer.proposalId ?? '')
        return {
          ...shownAnswer(answer, answers, facts, asked.unit.scaleMm),
          proposalId: answer.proposalId ?? '',
          fileId: answer.file.id,
          mine: proposal !== undefined && mayChange(member, proposal.proposer.id),
          ...(asked.state !== 'withdrawn' && {
            vote: { action: `/proposals/${answer.proposalId}/vote`, mine: answer.votes.mine },
          }),
          remark:
            proposal &&
            (proposal.remark ? `${proposal.proposer.name}: ${proposal.remark}` : `By ${proposal.proposer.name}.`),
        }
      })
      const usual = facts.printer && withLook(request, facts.printer, facts.model)
      const props = {
        request: asked,
        answers: shown.map(({ remark, ...one }) => ({ ...one, answer: { ...one.answer, remark: remark ?? null } })),
        looksWorth: answers.looksWorth,
        usualWorth: fromMinor(looksWorthMinor, currency),
        own: answers.own,
        warned: usual?.look.due ? [usual] : [],
        mayClose: mayChange(member, asked.asker.id),
        version: String(asked.version),
        once: once().once,
      }
      return page(request, reply, {
        title: titleOf(asked),
        drawing: <RequestDrawing request={asked} />,
        lead: <RequestLead request={asked} mayChange={props.mayClose && asked.state === 'open'} />,
        sum: <RequestSum request={asked} />,
        children: <RequestPage {...props} />,
      })
    },
  )

  app.get('/requests/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const asked = await openRequest(request.db, request.member, request.params.id)
    expectMayChange(request.member, asked.asker.id, whoChangesRequests)
    const { currency } = request.member.group
    const hidden = madeFrom(asked.version)
    const form = blank(valuesOf(asked, currency))
    const props = { request: asked, form, hidden, currencies: currenciesFrom(currency) }
    return page(request, reply, { title: `Change: ${titleOf(asked)}`, children: <EditRequest {...props} /> })
  })

  app.post('/requests/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedRequest, request.body, { whole: true })
    const wanted = versionOf(request.body)
    const changed = await form.submit((data) => changeRequest(request.db, request.member, id, data, wanted))
    if (changed) return seeOther(reply, `/requests/${id}`, 'saved')
    reply.code(422)
    const asked = await readRequest(request.db, request.member, id)
    const { currency } = request.member.group
    const hidden = madeFrom(asked.version)
    const props = { request: asked, form, hidden, currencies: currenciesFrom(currency) }
    return page(request, reply, { title: `Change: ${titleOf(asked)}`, children: <EditRequest {...props} /> })
  })

  app.post('/requests/:id/settle', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const fileId = String((request.body as { fileId?: unknown } | undefined)?.fileId ?? '')
    const change = changedRequest.safeParse({ state: 'settled', fileId })
    if (!change.success) throw new Problem(422, 'Choose the file to settle on.')
    await changeRequest(request.db, request.member, id, change.data, versionOf(request.body))
    return seeOther(reply, `/requests/${id}`, 'request-settled')
  })

  app.post('/requests/:id/withdraw', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    await changeRequest(request.db, request.member, id, { state: 'withdrawn' }, versionOf(request.body))
    return seeOther(reply, `/requests/${id}`, 'request-withdrawn')
  })

  app.post('/requests/:id/open', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    await changeRequest(request.db, request.member, id, { state: 'open' }, versionOf(request.body))
    return seeOther(reply, `/requests/${id}`, 'request-opened')
  })
}

const titleOf = (asked: Request) => `${asked.wanted} ${asked.unit.name}`

async function openRequest(db: Db, viewer: Viewer, id: string): Promise<Request> {
  const asked = await readRequest(db, viewer, id)
  if (asked.state !== 'open') throw notFound('open request')
  return asked
}

const shownDraft = ({ unit, standIns, found }: Draft) => ({
  unit,
  standIns,
  found,
  // Whoever gets this page has seen the stand-ins of its unit.
  hidden: { ...once(), ...(unit && { seen: unit.id }) },
})

const valuesOf = (asked: Request, currency: string) => ({
  wanted: String(asked.wanted),
  mustHaves: asked.mustHaves.join('\n'),
  'budget.amount': asked.budget?.amount ?? '',
  'budget.currency': asked.budget?.currency ?? currency,
  neededBy: asked.neededBy ?? '',
  remark: asked.remark,
})
