import type { ComponentChildren } from 'preact'

interface ButtonProps {
  /** The one thing that the page is for; at most one a form. */
  main?: boolean | undefined
  /** Sent with the form, where a form has several buttons. */
  name?: string
  value?: string
  /** Send the form elsewhere. */
  formAction?: string
  /** What the button is about, for those who hear it out of its row: "Yes, I would field it: Marsh wardens". */
  label?: string | undefined
  children: ComponentChildren
}

/** Sends the form around it. */
export function Button({ main = false, label, children, ...rest }: ButtonProps) {
  return (
    <button type="submit" class={main ? 'button button-main' : 'button'} aria-label={label} {...rest}>
      {children}
    </button>
  )
}

/** A link that looks like a thing to press: the next step of a page. */
export function ButtonLink({
  href,
  main = false,
  children,
}: {
  href: string
  main?: boolean
  children: ComponentChildren
}) {
  return (
    <a class={main ? 'button button-main' : 'button'} href={href}>
      {children}
    </a>
  )
}

/** Row of buttons at the foot of a form or an entry. */
export function Actions({ children }: { children: ComponentChildren }) {
  return <div class="actions">{children}</div>
}
