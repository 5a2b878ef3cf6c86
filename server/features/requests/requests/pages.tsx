import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { RequestLead, RequestSum, requestTitle } from '../../../../web/pages/RequestHead.tsx'
import { RequestPage } from '../../../../web/pages/RequestPage.tsx'
import { UnitDrawing } from '../../../../web/parts/shadow.tsx'
import { mayChange } from '../../../http/access.ts'
import { id } from '../../../http/fields.ts'
import { fromMinor } from '../../../http/money.ts'
import { justSaid, once, page, seeOther } from '../../../http/page.tsx'
import { Problem } from '../../../http/problem.ts'
import { type App, byId, sameUntilWritten, withId } from '../../../http/route.ts'
import type { Viewer } from '../../../http/session.ts'
import { withShadow } from '../../catalogue/measures/drawn.ts'
import { readUnit } from '../../catalogue/units/queries.ts'
import { withLook } from '../../printing/printers/own.ts'
import { requestAnswers } from '../answers/queries.ts'
import { answersQuery } from '../answers/schema.ts'
import { shownAnswer } from '../answers/show.ts'
import { changeRequest } from './queries.ts'
import { changedRequest } from './schema.ts'

const shown = answersQuery.extend({ said: z.string().optional(), answer: id.optional().catch(undefined) })

/** A request with its answers, and what closes it and opens it again. */
export function requestPages(app: App): void {
  app.get(
    '/requests/:id',
    { ...sameUntilWritten, schema: { params: byId, querystring: shown } },
    async (request, reply) => {
      const { db, member, params, query } = request
      const found = await requestAnswers(db, member, params.id, query)
      const { request: asked } = found
      const props = propsOf(request, found)
      const open = props.answers.find(({ proposalId }) => proposalId === query.answer)?.proposalId
      const notice = justSaid(request)
      // A file that is proposed is noted as a stand-in, so that only without answers there may be none.
      const hasStandIns = props.answers.length > 0 || (await readUnit(db, asked.unit.id)).standIns > 0
      return page(reply, {
        title: requestTitle(asked),
        drawing: <UnitDrawing unit={await withShadow(db, asked.unit)} />,
        lead: (
          <RequestLead request={asked} mayChange={props.mayClose && asked.state === 'open'} hasStandIns={hasStandIns} />
        ),
        sum: <RequestSum request={asked} />,
        // Said at the answer that it is about, where there is one: the head of the page may be far above.
        notice: open ? undefined : notice,
        children: <RequestPage {...props} {...{ hasStandIns, open, notice: open && notice }} />,
      })
    },
  )

  app.post('/requests/:id/settle', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const fileId = String((body as { fileId?: unknown } | undefined)?.fileId ?? '')
    const change = changedRequest.safeParse({ state: 'settled', fileId })
    if (!change.success) throw new Problem(422, 'Choose the file to settle on.')
    await changeRequest(db, member, id, change.data, wanted)
    return seeOther(reply, `/requests/${id}`, 'request-settled')
  })

  app.post('/requests/:id/withdraw', withId, async ({ db, member, params: { id }, wanted }, reply) => {
    await changeRequest(db, member, id, { state: 'withdrawn' }, wanted)
    return seeOther(reply, `/requests/${id}`, 'request-withdrawn')
  })

  app.post('/requests/:id/open', withId, async ({ db, member, params: { id }, wanted }, reply) => {
    await changeRequest(db, member, id, { state: 'open' }, wanted)
    return seeOther(reply, `/requests/${id}`, 'request-opened')
  })
}

type Found = Awaited<ReturnType<typeof requestAnswers>>

function propsOf(request: FastifyRequest, found: Found) {
  const { member } = request
  const { request: asked, answers, facts } = found
  const usual = facts.printer && withLook(request, facts.printer, facts.model)
  return {
    request: asked,
    answers: answersOf(found, member),
    looksWorth: answers.looksWorth,
    usualWorth: fromMinor(member.group.looksWorthMinor, member.group.currency),
    own: answers.own,
    warned: usual?.look.due ? [usual] : [],
    mayClose: mayChange(member, asked.asker.id),
    version: String(asked.version),
    once: once().once,
  }
}

/** The answers with what was said of each when it was proposed, and the vote, while there is something to vote on. */
function answersOf({ request: asked, answers, facts, proposals }: Found, member: Viewer) {
  const proposed = new Map(proposals.map((one) => [one.id, one]))
  return answers.items.map((answer) => {
    const { answer: figures, ...rest } = shownAnswer(answer, answers, facts, asked.unit.scaleMm)
    const proposal = proposed.get(answer.proposalId ?? '')
    const vote = { action: `/proposals/${answer.proposalId}/vote`, mine: answer.votes.mine }
    return {
      ...rest,
      answer: { ...figures, remark: proposal ? remarkOf(proposal) : null },
      proposalId: answer.proposalId ?? '',
      fileId: answer.file.id,
      mine: proposal !== undefined && mayChange(member, proposal.proposer.id),
      ...(asked.state !== 'withdrawn' && { vote }),
    }
  })
}

const remarkOf = ({ proposer, remark }: Found['proposals'][number]) =>
  remark ? `${proposer.name}: ${remark}` : `By ${proposer.name}.`
