/** What a form sends, by name. */
type Fields = Record<string, string | string[]>

const plain = (text: string) =>
  text.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&quot;', '"').replaceAll('&amp;', '&')

const attribute = (tag: string, name: string) => {
  const found = new RegExp(`\\s${name}(?:="([^"]*)")?(?=[\\s/>])`).exec(tag)
  return found ? plain(found[1] ?? '') : undefined
}

/** Where each `method="post"` form of a page goes to. */
export const postsOf = (html: string) =>
  [...html.matchAll(/<form\b[^>]*>/g)].flatMap(([tag]) =>
    attribute(tag, 'method') === 'post' ? [attribute(tag, 'action') ?? ''] : [],
  )

/**
 * The fields of a form as they stand, nothing typed: of boxes what is ticked, of a choice what is chosen.
 *
 * @throws Error where the page has no such form
 */
export function fieldsOf(html: string, action: string): Fields {
  const form = html.split('<form ').find((part) => attribute(`<form ${part.split('>')[0]}>`, 'action') === action)
  if (form === undefined) throw new Error(`no form to ${action}`)
  const [inside = ''] = form.split('</form>')
  const fields: Fields = {}
  const add = (name: string | undefined, value: string) => {
    if (name) fields[name] = name in fields ? [fields[name] ?? '', value].flat() : value
  }
  for (const [whole] of inside.matchAll(/<input\b[^>]*>|<(select|textarea)\b[^>]*>[\s\S]*?<\/\1>/g)) {
    const tag = `${whole.split('>')[0]}>`
    const name = attribute(tag, 'name')
    if (tag.startsWith('<textarea')) add(name, plain(whole.slice(tag.length).replace('</textarea>', '')))
    else if (tag.startsWith('<select')) add(name, chosen(whole))
    else addInput(tag, name, add)
  }
  return fields
}

function addInput(tag: string, name: string | undefined, add: (name: string | undefined, value: string) => void) {
  const isBox = ['checkbox', 'radio'].includes(attribute(tag, 'type') ?? '')
  if (!isBox || attribute(tag, 'checked') !== undefined) add(name, attribute(tag, 'value') ?? (isBox ? 'on' : ''))
}

function chosen(select: string): string {
  const options = [...select.matchAll(/(<option\b[^>]*>)([^<]*)/g)].map(([, tag = '', words = '']) => ({ tag, words }))
  const option = options.find(({ tag }) => attribute(tag, 'selected') !== undefined) ?? options[0]
  return option ? (attribute(option.tag, 'value') ?? plain(option.words)) : ''
}
