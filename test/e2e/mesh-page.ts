import { readFile } from 'node:fs/promises'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { build } from 'esbuild'
import { secureHeaders } from '../../server/http/headers.ts'
import { buildAssets } from '../../web/build.ts'

export interface MeshPage {
  url: string
  /** Where the worker is served. */
  worker: string
  close(): Promise<void>
}

/**
 * Serves an empty page that can measure, with the real worker and the service's own policy, so that what a browser does
 * with both is seen apart from any page that uses them.
 *
 * @param outDir where the bundles go
 */
export async function serveMeshPage(outDir: string): Promise<MeshPage> {
  const { mesh } = await buildAssets({ outDir })
  const { outputFiles } = await build({
    entryPoints: [join(import.meta.dirname, 'mesh-script.ts')],
    bundle: true,
    format: 'iife',
    write: false,
  })
  const script = outputFiles[0]?.text ?? ''
  const server = createServer(async ({ url }, response) => {
    for (const [header, value] of Object.entries(secureHeaders(false))) response.setHeader(header, value)
    if (url === '/')
      response.setHeader('content-type', 'text/html').end('<title>Measuring</title><script src="/script.js"></script>')
    else if (url === '/script.js') response.setHeader('content-type', 'text/javascript').end(script)
    else if (url === `/assets/${mesh}`)
      response.setHeader('content-type', 'text/javascript').end(await readFile(join(outDir, mesh)))
    else response.writeHead(404).end()
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    worker: `/assets/${mesh}`,
    close: () => {
      server.closeAllConnections()
      return new Promise((resolve) => server.close(() => resolve()))
    },
  }
}
