import { IncomingMessage, ServerResponse } from 'node:http'
import { Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'
import helmet from 'helmet'
import { isSecure } from './origin.ts'

const policy = helmet({
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'"],
      workerSrc: ["'self'"],
      styleSrc: ["'self'"],
      fontSrc: ["'self'"],
      imgSrc: ["'self'", 'data:'],
      connectSrc: ["'self'"],
      manifestSrc: ["'self'"],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      objectSrc: ["'none'"],
      frameAncestors: ["'none'"],
    },
  },
  // frame-ancestors says the same, and more exactly.
  xFrameOptions: false,
  strictTransportSecurity: false,
  crossOriginEmbedderPolicy: false,
  referrerPolicy: { policy: 'same-origin' },
})

/** What Chromium can do for a page (it complains of names that it does not know), none of which a page of ours asks for. */
const unused = [
  'accelerometer',
  'autoplay',
  'browsing-topics',
  'camera',
  'display-capture',
  'encrypted-media',
  'fullscreen',
  'gamepad',
  'geolocation',
  'gyroscope',
  'hid',
  'identity-credentials-get',
  'idle-detection',
  'local-fonts',
  'magnetometer',
  'microphone',
  'midi',
  'otp-credentials',
  'payment',
  'picture-in-picture',
  'publickey-credentials-create',
  'publickey-credentials-get',
  'screen-wake-lock',
  'serial',
  'storage-access',
  'usb',
  'window-management',
  'xr-spatial-tracking',
]

/** The headers that keep a browser from doing what no page of ours asks for. */
const always: Record<string, string> = {
  ...headersOf(policy),
  'permissions-policy': unused.map((feature) => `${feature}=()`).join(', '),
  // What members see is for no cache; public things that may be kept say so themselves.
  'cache-control': 'no-store',
}

/** The policy of a page that holds its style sheet. @param hash of that style sheet, as the policy writes it */
export const pagePolicy = (hash: string): string =>
  String(always['content-security-policy']).replace("style-src 'self'", `style-src 'self' '${hash}'`)

// Who came by TLS once keeps to it. Subdomains are not ours to decide about.
const overTls = { ...always, 'strict-transport-security': `max-age=${365 * 24 * 3600}` }

/** What a policy of helmet puts into every answer, as it is the same in all of them. */
function headersOf(middleware: typeof policy): Record<string, string> {
  const answer = new ServerResponse(new IncomingMessage(new Socket()))
  middleware(answer.req, answer, () => {})
  return Object.fromEntries(answer.getHeaderNames().map((name) => [name, String(answer.getHeader(name))]))
}

/** @param isTls plain HTTP at home must work, so it is not promised that there is TLS where there may be none */
export const secureHeaders = (isTls: boolean) => (isTls ? overTls : always)

/** Puts them into every answer of a route, and where there is none. */
export function secureAnswers(app: FastifyInstance): void {
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(secureHeaders(isSecure(request)))
  })
}
