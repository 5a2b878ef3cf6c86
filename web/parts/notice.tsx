import type { ComponentChildren } from 'preact'

/** What has just happened, once, at the top of the page that follows. */
export function Notice({ children }: { children: ComponentChildren }) {
  return (
    <div class="notice" role="status">
      {children}
    </div>
  )
}
