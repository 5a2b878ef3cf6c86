import type { ComponentChildren } from 'preact'

/** More to read for who wants it: "Why this order". Works without script. */
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
