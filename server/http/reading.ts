import type { FastifyInstance, RouteHandlerMethod } from 'fastify'
import { gateForEach } from './gate.ts'
import { Problem } from './problem.ts'

/** So many answers to one member are worked out at a time: one more than those that may wait for the planner. */
const atOnce = 4
/** More than any page of ours has a browser ask for. */
const waiting = 200

const refusal = () =>
  new Problem(429, 'You have asked for too much at once. Please ask for this again in a moment.', { retryAfterS: 10 })

/**
 * Has what a member reads worked out a few at a time: whoever asks for many long pages keeps the others waiting no longer
 * than these few take. Answers that are kept (kept-answers.ts) wait for nothing. To be registered before the routes.
 */
export function readInTurn(app: FastifyInstance): void {
  const inTurn = gateForEach({ atOnce, waiting, refusal })
  app.addHook('onRoute', (route) => {
    if (route.method !== 'GET' && route.method !== 'HEAD') return
    const inner = route.handler as RouteHandlerMethod
    route.handler = async function (this: FastifyInstance, request, reply) {
      const work = async () => {
        // Whoever loads a page anew does not wait for the one before.
        if (request.socket.destroyed) throw new Problem(400, 'Whoever asked for this has gone.')
        return inner.call(this, request, reply)
      }
      return request.viewer ? inTurn(request.viewer.id, work) : work()
    }
  })
}
