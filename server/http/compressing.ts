import compress from '@fastify/compress'
import type { App } from './route.ts'

/** Text that members wait for; typefaces and pictures are compressed already. */
const worthIt = /^(?:text\/(?:html|css|javascript)|application\/(?:json|problem\+json|javascript))(?:;|$)/u

/**
 * Sends pages, style sheet, script and the API's answers compressed to whoever takes that, since nobody has to put a proxy
 * in front. The length of a compressed answer tells whoever watches the line a little of what stands in it beside their own
 * words (BREACH, CVE-2013-3587), so what tells a code is sent as it is. Nothing else that a page of ours holds would be worth
 * guessing at: the session is in a header, changes are let in by their origin and not by a hidden code, and a strange site's
 * requests for a page come without the cookie, unless the member sees it open. Bodies that come in are never unpacked.
 */
export async function compressAnswers(app: App): Promise<void> {
  app.addHook('onRoute', (route) => {
    if (route.config?.tellsOnce) route.compress = false
  })
  await app.register(compress, { customTypes: worthIt, encodings: ['br', 'gzip'], globalDecompression: false })
}
