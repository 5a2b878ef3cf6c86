import type { HTTPMethods } from 'fastify'
import type { App } from '../../server/http/route.ts'

/**
 * Every route of the service as `METHOD /path/:parameter`, read from the tree that the router prints, so that none can
 * be forgotten. HEAD goes with GET.
 */
export function routesOf(app: App): string[] {
  const open: string[] = []
  const found: string[] = []
  for (const line of app.printRoutes({ commonPrefix: false }).split('\n')) {
    const parts = /^((?:│ {3}| {4})*)[├└]── (\S*)(?: \(([A-Z, ]+)\))?$/.exec(line)
    if (!parts) continue
    const [, indent = '', step = '', methods = ''] = parts
    open.length = indent.length / 4
    open.push(step)
    const path = open.join('').replace('//', '/')
    for (const method of methods.split(', ').filter((one) => one && one !== 'HEAD')) {
      const url = spelled(path)
      if (!app.hasRoute({ method: method as HTTPMethods, url })) throw new Error(`no such route: ${method} ${url}`)
      found.push(`${method} ${url}`)
    }
  }
  return found.sort()
}

/** Where two routes name a parameter differently the tree has both names; the folder of the assets has none. */
const spelled = (path: string) => (path === '/*' ? '/assets/*' : path.replace(/\|:\w+/, ''))
