import { STATUS_CODES } from 'node:http'
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { cannotBeSaved, databaseIsAway } from '../../db/failures.ts'
import { Refused } from '../../web/pages/Refused.tsx'
import { isCall } from './address.ts'
import { noteRefusal } from './events.ts'
import { frameOf, plainFrame, renderPage, seeOther } from './page.tsx'
import { noRoom, Problem } from './problem.ts'

const [kib, mib] = [1024, 1024 * 1024]
const atMost = (bytes: number) => `At most ${bytes < mib ? `${bytes / kib} KiB` : `${bytes / mib} MiB`}, please.`

/** What a thrown value means to the caller. Anything unforeseen is a bare 500; the log has the rest. */
function problemOf(error: unknown, request: FastifyRequest): Problem {
  if (error instanceof Problem) return error
  if (databaseIsAway(error)) {
    request.log.error({ err: error }, 'the database is away')
    return new Problem(503, 'The database cannot be reached. Please try again.', { retryAfterS: 5 })
  }
  if (cannotBeSaved(error)) {
    request.log.error({ err: error }, 'the disk is full, or closed to us')
    return new Problem(507, `${noRoom} Nothing from this request was saved, but pages can still be read.`)
  }
  const { statusCode, code } = error as FastifyError
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE') return new Problem(413, atMost(request.routeOptions.bodyLimit))
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE')
    return new Problem(415, `Send ${isCall(request) ? 'application/json' : 'a form'}, please.`)
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500)
    return new Problem(statusCode, STATUS_CODES[statusCode] ?? 'This cannot be read.')
  request.log.error({ err: error }, 'unforeseen')
  return new Problem(
    500,
    'Nothing from this request was saved. If it happens again, tell whoever runs the service: its log has the reason.',
  )
}

function answerApi(reply: FastifyReply, problem: Problem) {
  const { title, status, message: detail, errors } = problem
  return reply
    .code(status)
    .type('application/problem+json')
    .serializer(JSON.stringify)
    .send({ type: 'about:blank', title, status, detail, ...(errors.length > 0 && { errors }) })
}

const isMember = (request: FastifyRequest) => request.viewer !== null

/** A member's form that came too soon, so that nothing typed is lost; passwords are not written into a page. */
function typedIn(request: FastifyRequest) {
  const { access, hearsSecret } = request.routeOptions.config
  const { body } = request
  if (!isMember(request) || access === 'public' || hearsSecret || typeof body !== 'object' || body === null)
    return undefined
  const fields = Object.entries(body as Record<string, string | string[]>)
  return {
    action: request.url,
    fields: fields.flatMap(([name, value]) => [value].flat().map((one): [string, string] => [name, String(one)])),
  }
}

async function answerPage(request: FastifyRequest, reply: FastifyReply, problem: Problem) {
  if (problem.status === 401 && request.method === 'GET')
    return reply.send(seeOther(reply, `/sign-in?next=${encodeURIComponent(request.url)}`))
  // An error page that fails would answer with the failure: without a database it has a plain frame. So has one that is
  // asked for under another name, whoever that leads here: it is not told whose group this is.
  const frame =
    problem.status >= 500 || problem.status === 421
      ? plainFrame(request)
      : await frameOf(request).catch(() => plainFrame(request))
  const again = problem.status === 429 ? typedIn(request) : undefined
  const { status, message: detail, title } = problem
  const asked = { path: request.url.split('?')[0] ?? '/', isReading: request.method === 'GET' }
  const children = <Refused {...{ status, detail, isSignedIn: isMember(request), again, ...asked }} />
  return reply.code(status).send(renderPage(reply, frame, { title, children }))
}

/** Where even the error page fails, its failure must not be the answer. */
function answerBarely(request: FastifyRequest, reply: FastifyReply, failure: unknown) {
  request.log.error({ err: failure }, 'the error page failed')
  return reply.code(500).type('text/plain; charset=utf-8').send('Something went wrong on our side.')
}

/** One handler turns every error into RFC 9457 or a page. */
export function answerErrors(app: FastifyInstance): void {
  const answer = async (error: unknown, request: FastifyRequest, reply: FastifyReply) => {
    const problem = problemOf(error, request)
    noteRefusal(request, problem)
    // What was to be saved as a file is not what is answered now.
    reply.removeHeader('content-disposition')
    if (problem.retryAfterS !== undefined) reply.header('retry-after', String(problem.retryAfterS))
    if (isCall(request)) return answerApi(reply, problem)
    return answerPage(request, reply, problem).catch((failure: unknown) => answerBarely(request, reply, failure))
  }
  app.setErrorHandler(answer)
  app.setNotFoundHandler((request, reply) =>
    answer(new Problem(404, 'There is nothing under this address.'), request, reply),
  )
}
