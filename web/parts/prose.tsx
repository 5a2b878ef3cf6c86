import type { ComponentChildren } from 'preact'
import { Disclosure } from './blocks.tsx'

/** Some of a text of ours, as HTML; the name of a piece of the page that stands at this place; or what is folded away. */
export type Part = { html: string } | { piece: string } | { fold: string; parts: Part[] }

/** A text that is kept beside the program (web/texts), with pieces of the page in it. Never of what anybody typed. */
export function Prose({ text, pieces = {} }: { text: Part[]; pieces?: Record<string, ComponentChildren> }) {
  return (
    <>
      {text.map((part, index) =>
        'piece' in part ? (
          pieces[part.piece]
        ) : 'fold' in part ? (
          <Disclosure key={index} summary={part.fold}>
            <Prose text={part.parts} pieces={pieces} />
          </Disclosure>
        ) : (
          <div class="prose" key={index} dangerouslySetInnerHTML={{ __html: part.html }} />
        ),
      )}
    </>
  )
}
