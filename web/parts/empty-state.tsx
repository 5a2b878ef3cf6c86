import type { ComponentChildren } from 'preact'

/** Where there is nothing yet: says so, and what to do about it. @param children the next step, as links or a form */
export function EmptyState({ words, children }: { words: string; children?: ComponentChildren }) {
  return (
    <div class="empty-state">
      <p class="empty-state-words">{words}</p>
      {children}
    </div>
  )
}
