import type { ComponentChildren } from 'preact'

/**
 * Help with a form, or a picture of what is being described: at the form's right where there is room, else where it stands
 * in it. The form is told by its class, `form-beside`; it has one of these.
 */
export function Beside({ children }: { children: ComponentChildren }) {
  return (
    <div class="form-side">
      <div class="form-side-words">{children}</div>
    </div>
  )
}
