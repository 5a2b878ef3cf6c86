/**
 * Checks that imports run one way: main -> app -> features -> http, scoring, planning, web, db.
 * `npm run imports` prints each import that does not, and fails.
 */
import { globSync, readFileSync } from 'node:fs'
import { posix } from 'node:path'

type Layer = 'main' | 'app' | 'jobs' | 'features' | 'http' | 'config' | 'scoring' | 'planning' | 'web' | 'db'

/** Which other layers a layer may import from; from itself always. */
const below: Record<Layer, Layer[]> = {
  main: ['app', 'jobs', 'features', 'http', 'config', 'scoring', 'planning', 'web', 'db'],
  app: ['jobs', 'features', 'http', 'config', 'scoring', 'planning', 'web', 'db'],
  jobs: ['features', 'http', 'config', 'scoring', 'planning', 'db'],
  features: ['http', 'config', 'scoring', 'planning', 'web', 'db'],
  http: ['config', 'web', 'db'],
  config: [],
  scoring: [],
  planning: [],
  web: [],
  db: [],
}

/** Packages of the layers that may not use just any. The scoring does its own sums; what it is tested against does not ship. */
const packages: Partial<Record<Layer, RegExp | 'none'>> = {
  scoring: 'none',
  planning: /^(highs$|maxrects-packer\/|node:(worker_threads|os)$)/,
  web: /^preact(\/|-render-to-string$|$)/,
}

/** Programs that are started by hand: they read files or call a bundler, which what they belong to must not. */
const commands = /^(server\/[^/]+\/command\/|web\/build\.ts$)/

export interface Violation {
  file: string
  line: number
  specifier: string
  rule: string
}

/**
 * @param file path from the project's root, with forward slashes
 * @param source its text
 * @returns the imports that break a rule; type-only ones count as well, since they tie the two together just as much
 */
export function violations(file: string, source: string): Violation[] {
  return importsOf(source).flatMap(({ specifier, line }) => {
    const rule = brokenRule(file, specifier)
    return rule ? [{ file, line, specifier, rule }] : []
  })
}

/** What comes after `from`, after a bare `import`, and in `import(…)`; statements begin a line, so comments don't count. */
export function importsOf(source: string): { specifier: string; line: number }[] {
  const statement =
    /^[ \t]*(?:import|export)\s(?:[^'"`;()]*?\sfrom\s*)?['"]([^'"]+)['"]|^[ \t]*(?:import|export)\s*[{*][^'"`;()]*?from\s*['"]([^'"]+)['"]|^(?![ \t]*(?:\/\/|\*)).*?\bimport\(\s*['"]([^'"]+)['"]/gm
  return Array.from(source.matchAll(statement), (match) => {
    const specifier = match[1] ?? match[2] ?? match[3] ?? ''
    const end = match.index + match[0].lastIndexOf(specifier)
    return { specifier, line: source.slice(0, end).split('\n').length }
  })
}

function brokenRule(file: string, specifier: string): string | undefined {
  const from = layerOf(file)
  if (!from) return 'this file has no place in the house (server, web, db and their folders)'
  if (!specifier.startsWith('.')) return brokenPackageRule(file, from, specifier)

  const target = posix.join(posix.dirname(file), specifier)
  const to = layerOf(target)
  if (!to) return `${from} imports only what is in server, web or db`
  if (from === 'features' && to === 'features') return brokenFeatureRule(file, target)
  if (from === to || below[from].includes(to)) return undefined
  return `${from} imports only from ${[from, ...below[from]].join(', ')}`
}

function brokenPackageRule(file: string, from: Layer, name: string): string | undefined {
  const allowed = packages[from]
  if (!allowed || commands.test(file)) return undefined
  if (allowed === 'none') return `${from} imports no package`
  return allowed.test(name) ? undefined : `${from} imports no package but ${allowed.source}`
}

/** The rooms of the features, each of which may use those before it. */
const rooms = ['evidence', 'people', 'catalogue', 'printing', 'requests', 'rosters', 'overview']

function brokenFeatureRule(file: string, target: string): string | undefined {
  const [from, to] = [file, target].map((path) => path.split('/'))
  if (rooms.indexOf(to?.[2] ?? '') > rooms.indexOf(from?.[2] ?? '')) return `rooms import one way: ${rooms.join(', ')}`
  const sameFeature = posix.dirname(target) === posix.dirname(file)
  const isRoute = /\/(api|pages)\.tsx?$/.test(target)
  return isRoute && !sameFeature ? "a feature uses another's queries and rules, never its routes" : undefined
}

/** The list of all features belongs to the application, which registers them. */
const featureList = 'server/features/index.ts'

function layerOf(path: string): Layer | undefined {
  if (path === featureList) return 'app'
  const [top, second, third] = path.split('/')
  if (top === 'web' || top === 'db') return top
  if (top !== 'server' || !second) return undefined
  if (third === undefined) return second === 'main.ts' ? 'main' : second === 'config.ts' ? 'config' : 'app'
  return second in below && second !== 'web' && second !== 'db' ? (second as Layer) : undefined
}

function checkAll(): void {
  const files = globSync('{server,web,db}/**/*.{ts,tsx}')
  const paths = files.map((file) => file.replaceAll('\\', '/')).sort()
  const found = paths.flatMap((path) => violations(path, readFileSync(path, 'utf8')))
  for (const { file, line, specifier, rule } of found) console.error(`${file}:${line} imports ${specifier}: ${rule}`)
  if (found.length > 0) process.exitCode = 1
  else console.log(`The imports of ${paths.length} files run one way.`)
}

if (import.meta.main) checkAll()
