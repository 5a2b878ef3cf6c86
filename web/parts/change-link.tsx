import type { ComponentChildren } from 'preact'

/** A value that is itself the way to change it, for whoever may. @param what it is of, for those who hear the page */
export function ChangeLink({
  href,
  what,
  children,
}: {
  href: string | false
  what: string
  children: ComponentChildren
}) {
  if (href === false) return <>{children}</>
  return (
    <a href={href}>
      {children}
      <span class="visually-hidden"> (change {what})</span>
    </a>
  )
}
