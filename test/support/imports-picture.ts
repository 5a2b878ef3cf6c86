/** `npm run imports:picture` draws which room imports from which, as the picture in DEVELOPERS.md. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { cruise, type ICruiseResult } from 'dependency-cruiser'
import extractRules from 'dependency-cruiser/config-utl/extract-depcruise-config'

const place = 'DEVELOPERS.md'
const [begin, end] = ['<!-- imports:picture -->', '<!-- /imports:picture -->']
/** Nearly everything stands on these, so that they are drawn as ground and not with an arrow from each. */
const ground = ['http', 'web', 'db']

type Arrows = Map<string, Set<string>>

/** The room of a feature, the folder of the server, or the layer: what is one box. */
function boxOf(path: string): string | undefined {
  const [, feature] = /^server\/features\/([^/]+)\//.exec(path) ?? []
  if (feature) return feature
  const [, folder] = /^(?:server\/)?(http|web|db|scoring|planning|jobs)\//.exec(path) ?? []
  return folder
}

async function arrows(): Promise<Arrows> {
  const { options, ...ruleSet } = await extractRules(join(import.meta.dirname, '../../.dependency-cruiser.mjs'))
  const { output } = await cruise(['server', 'web', 'db'], { ...options, ruleSet, outputType: 'json' })
  const found: Arrows = new Map()
  for (const { source, dependencies } of (JSON.parse(output as string) as ICruiseResult).modules) {
    const from = boxOf(source)
    if (!from) continue
    const to = dependencies.map(({ resolved }) => boxOf(resolved)).filter((box) => box !== undefined && box !== from)
    found.set(from, new Set([...(found.get(from) ?? []), ...(to as string[])]))
  }
  return found
}

function draw(all: Arrows): string {
  const lines = [...all.keys()].sort().flatMap((from) => {
    const below = [...(all.get(from) ?? [])].filter((to) => !ground.includes(to)).sort()
    return ground.includes(from) || below.length === 0 ? [] : [`  ${from} --> ${below.join(' & ')}`]
  })
  return ['```mermaid', 'flowchart TD', ...lines, '```'].join('\n')
}

const text = readFileSync(place, 'utf8')
const [before, rest] = text.split(begin)
const after = rest?.split(end)[1]
if (before === undefined || after === undefined) throw new Error(`${place} has no place for the picture: ${begin}`)
writeFileSync(place, `${before}${begin}\n${draw(await arrows())}\n${end}${after}`)
