/** Links to the parts of a long page, before everything else. */
export function OnThisPage({ places }: { places: readonly (readonly [href: string, words: string])[] }) {
  return (
    <nav aria-label="On this page" class="contents screen-only">
      {places.map(([href, words]) => (
        <a key={href} href={href}>
          {words}
        </a>
      ))}
    </nav>
  )
}
