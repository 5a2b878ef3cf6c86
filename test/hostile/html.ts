/** One element of a page, as far as it matters here: its name and attributes, and what it stands in. */
export interface Element {
  name: string
  attributes: Record<string, string>
  /** Names of what it stands in, the outermost first. */
  within: string[]
}

const voids = new Set(['area', 'br', 'col', 'embed', 'hr', 'img', 'input', 'link', 'meta', 'source', 'track', 'wbr'])
const tag = /<(\/?)([a-zA-Z][\w-]*)((?:[^>"']|"[^"]*"|'[^']*')*)>|<!--[\s\S]*?-->|<!doctype[^>]*>/g
const attribute = /([^\s=/]+)(?:="([^"]*)")?/g

const plain = (text: string) =>
  text.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&quot;', '"').replaceAll('&amp;', '&')

/** The elements of a page in order. @throws Error where a tag is closed that is not the open one */
export function elementsOf(html: string): Element[] {
  const open: string[] = []
  const found: Element[] = []
  for (const [whole, slash, tagName = '', rest = ''] of html.matchAll(tag)) {
    const name = tagName.toLowerCase()
    if (name === '') continue
    if (slash) {
      const last = open.pop()
      if (last !== name) throw new Error(`</${name}> where <${last}> is open`)
      continue
    }
    const attributes: Record<string, string> = {}
    for (const [, key = '', value = ''] of rest.matchAll(attribute)) attributes[key.toLowerCase()] = plain(value)
    found.push({ name, attributes, within: [...open] })
    if (!voids.has(name) && !whole.endsWith('/>')) open.push(name)
  }
  if (open.length > 0) throw new Error(`<${open.at(-1)}> is never closed`)
  return found
}

const blocks =
  /^(address|article|aside|blockquote|details|div|dl|fieldset|figure|footer|form|h[1-6]|header|hr|main|nav|ol|p|pre|section|table|ul)$/
const parents: Record<string, RegExp> = {
  li: /^(ul|ol|menu)$/,
  tr: /^(thead|tbody|tfoot|table)$/,
  td: /^tr$/,
  th: /^tr$/,
  tbody: /^table$/,
  thead: /^table$/,
  caption: /^table$/,
  dt: /^(dl|div)$/,
  dd: /^(dl|div)$/,
  option: /^(select|datalist|optgroup)$/,
  legend: /^fieldset$/,
  summary: /^details$/,
}
const interactive = /^(a|button|input|select|textarea|label|details)$/

/**
 * What is wrong with a page's bones: elements where HTML does not let them stand, ids twice, references to ids that are
 * not there.
 *
 * @see https://html.spec.whatwg.org/multipage/ (content models, from memory)
 */
export function faultsOf(elements: Element[]): string[] {
  const faults: string[] = []
  const ids = new Map<string, number>()
  for (const { attributes } of elements)
    if (attributes.id !== undefined) ids.set(attributes.id, (ids.get(attributes.id) ?? 0) + 1)
  for (const [id, times] of ids) if (times > 1 || id === '') faults.push(`the id ${id} stands ${times} times`)
  for (const { name, attributes, within } of elements) {
    const parent = within.at(-1) ?? ''
    const inSvg = within.includes('svg')
    if (!inSvg && blocks.test(name) && within.includes('p')) faults.push(`<${name}> in a <p>`)
    if (interactive.test(name) && (within.includes('a') || within.includes('button')))
      faults.push(`<${name}> in ${within.includes('a') ? 'a link' : 'a button'}`)
    if (name === 'form' && within.includes('form')) faults.push('a form in a form')
    if (!inSvg && parents[name] && !parents[name].test(parent)) faults.push(`<${name}> in <${parent}>`)
    if (/^(ul|ol)$/.test(parent) && !/^(li|script|template)$/.test(name)) faults.push(`<${name}> in <${parent}>`)
    for (const key of ['for', 'aria-describedby', 'aria-labelledby', 'aria-controls', 'list', 'form', 'popovertarget'])
      for (const id of (attributes[key] ?? '').split(/\s+/).filter(Boolean))
        if (!ids.has(id)) faults.push(`${key}="${id}" on <${name}>, but no such id`)
    if (name === 'img' && attributes.alt === undefined) faults.push('an image without alt')
  }
  return faults
}
