import type { ComponentChildren } from 'preact'

interface Props {
  /** The id of each section, and what it is called. */
  places: readonly (readonly [id: string, name: string])[]
  children: ComponentChildren
}

/** A long page, with links to its sections at its side. */
export function WithContents({ places, children }: Props) {
  return (
    <div class="with-contents">
      <nav class="contents-side" aria-label="On this page">
        <ul>
          {places.map(([id, name]) => (
            <li key={id}>
              <a href={`#${id}`}>{name}</a>
            </li>
          ))}
        </ul>
      </nav>
      <div class="stack">{children}</div>
    </div>
  )
}
