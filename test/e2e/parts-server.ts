import { readFile } from 'node:fs/promises'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { assetsAt } from '../../web/assets.ts'
import { buildAssets } from '../../web/build.ts'
import { until } from '../support/until.ts'
import { partsPage } from './parts-page.tsx'

/** The service's own policy: nothing inline. */
const policy = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:"

export interface PartsServer {
  url: string
  /** What was posted, in order. */
  posted: string[]
  /** Answers of the type-ahead by what was typed, perhaps not before something has happened. */
  proposals: Map<string, { items: unknown[]; after?: Promise<void> }>
  /** What is posted is answered after this. */
  answersAfter: Promise<void>
  /** Makes the page with this worth of looks fail. */
  failing: Set<string>
  close(): Promise<void>
}

/** Serves the page of parts with the real bundles. @param outDir where the bundles go */
export async function servePartsPage(outDir: string): Promise<PartsServer> {
  const assets = assetsAt('/assets', await buildAssets({ outDir }))
  const posted: string[] = []
  const proposals: PartsServer['proposals'] = new Map()
  const failing = new Set<string>()
  const server = createServer((request, response) => {
    answer(request, response).catch((error) => response.writeHead(500).end(String(error)))
  })

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://parts')
    if (pathname.startsWith('/assets/')) {
      const type = pathname.endsWith('.css') ? 'text/css' : 'text/javascript'
      response.setHeader('content-type', type).end(await readFile(join(outDir, pathname.slice(8))))
    } else if (pathname === '/service-worker.js') {
      // These parts stand on no phone: one that does nothing.
      response.setHeader('content-type', 'text/javascript').end('')
    } else if (request.method === 'POST') {
      let body = ''
      for await (const piece of request) body += piece
      posted.push(body)
      await parts.answersAfter
      response.end('kept')
    } else if (pathname === '/heard') {
      // For a page that wants to know that its form has come in, though it is not answered yet.
      await until(() => posted.length > 0)
      response.end()
    } else if (pathname === '/units/suggest') {
      const { items, after } = proposals.get(searchParams.get('q') ?? '') ?? { items: [] }
      await after
      response.setHeader('content-type', 'application/json').end(JSON.stringify({ items }))
    } else {
      const looks = searchParams.get('looks') ?? '2.00'
      response.statusCode = failing.has(looks) && request.headers['sec-fetch-mode'] !== 'navigate' ? 500 : 200
      response.setHeader('content-type', 'text/html; charset=utf-8').setHeader('content-security-policy', policy)
      response.end(partsPage(assets, Number(looks).toFixed(2)))
    }
  }

  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const parts: PartsServer = {
    answersAfter: Promise.resolve(),
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    posted,
    proposals,
    failing,
    close: () => {
      server.closeAllConnections()
      return new Promise((resolve) => server.close(() => resolve()))
    },
  }
  return parts
}
