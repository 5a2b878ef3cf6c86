import type { ComponentChildren } from 'preact'

/** More to read for who wants it: "Settle on Bog Carts". Works without script. */
export function Disclosure({
  summary,
  open,
  children,
}: {
  summary: string
  open?: boolean
  children: ComponentChildren
}) {
  return (
    <details class="disclosure" open={open ?? false}>
      <summary>{summary}</summary>
      <div class="disclosure-body">{children}</div>
    </details>
  )
}
