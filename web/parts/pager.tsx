/** A plain link to the rest of a list. @param href of the next page; nothing is shown at the end */
export function Pager({ href }: { href: string | null }) {
  if (href === null) return null
  return (
    <nav class="pager" aria-label="Rest of the list">
      <a class="button" rel="next" href={href}>
        Show more
      </a>
    </nav>
  )
}
