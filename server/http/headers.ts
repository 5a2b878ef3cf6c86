import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'
import { isSecure } from './origin.ts'

const yearS = 365 * 24 * 3600

/** The headers that keep a browser from doing what no page of ours asks for, on every answer. */
export async function secureAnswers(app: FastifyInstance): Promise<void> {
  await app.register(helmet, securityHeaders)
  app.addHook('onRequest', async (request, reply) => {
    // Plain HTTP at home must work; who came by TLS once keeps to it. Subdomains are not ours to decide about.
    if (isSecure(request)) reply.header('strict-transport-security', `max-age=${yearS}`)
    // What members see is for no cache; public things that may be kept say so themselves.
    reply.header('cache-control', 'no-store')
  })
}

const securityHeaders = {
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      imgSrc: ["'self'", 'data:'],
      connectSrc: ["'self'"],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      objectSrc: ["'none'"],
      frameAncestors: ["'none'"],
    },
  },
  strictTransportSecurity: false,
  crossOriginEmbedderPolicy: false,
  referrerPolicy: { policy: 'same-origin' as const },
}
