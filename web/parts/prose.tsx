import type { ComponentChildren } from 'preact'

/** Some of a text of ours, as HTML; or the name of a piece of the page that stands at this place. */
export type Part = { html: string } | { piece: string }

/** A text that is kept beside the program (web/texts), with pieces of the page in it. Never of what anybody typed. */
export function Prose({ text, pieces = {} }: { text: Part[]; pieces?: Record<string, ComponentChildren> }) {
  return (
    <>
      {text.map((part, index) =>
        'piece' in part ? (
          pieces[part.piece]
        ) : (
          <div class="prose" key={index} dangerouslySetInnerHTML={{ __html: part.html }} />
        ),
      )}
    </>
  )
}
