import { readFileSync } from 'node:fs'
import { parse } from 'marked'
import type { Part } from '../../../../web/parts/prose.tsx'

const folder = new URL('../../../../web/texts/help/', import.meta.url)
const names = [
  'first',
  'ranking',
  'drawings',
  'figures',
  'blame',
  'measuring',
  'starts',
  'plans',
  'rosters',
  'cautions',
] as const

export type HelpTexts = Record<(typeof names)[number], Part[]>
let read: HelpTexts | undefined

/**
 * The texts of the help, made HTML when they are first asked for. They are Markdown, so that whoever mends a sentence
 * needs no program; figures and tables are the page's, at a `{name}` on a line of its own, and what follows a
 * `{more: …}` is folded away under these words. They are ours alone: nothing that anybody types comes by here, since
 * whatever HTML is in a text goes through as it is.
 */
export function helpTexts(): HelpTexts {
  read ??= Object.fromEntries(
    names.map((name) => [name, partsOf(readFileSync(new URL(`${name}.md`, folder), 'utf8'))]),
  ) as HelpTexts
  return read
}

function partsOf(text: string): Part[] {
  const [before = '', words, after] = text.split(/^\{more: (.+)\}$/m)
  return words === undefined ? piecesOf(before) : [...piecesOf(before), { fold: words, parts: piecesOf(after ?? '') }]
}

/** Text and the names of what stands between it, by turns. */
function piecesOf(text: string): Part[] {
  const pieces = text.split(/^\{(\w+)\}$/m)
  return pieces
    .map((piece, index): Part => (index % 2 === 0 ? { html: parse(piece, { async: false }).trim() } : { piece }))
    .filter((part) => !('html' in part) || part.html !== '')
}
