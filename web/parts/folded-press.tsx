import type { ComponentChildren, ComponentProps } from 'preact'
import { Disclosure } from './disclosure.tsx'
import { Press } from './press.tsx'

interface Props extends ComponentProps<typeof Press> {
  summary: string
  /** What will come of it. */
  children?: ComponentChildren
}

/** What nobody is to do by accident: its button is folded away, under what will come of it. */
export const FoldedPress = ({ summary, children, ...press }: Props) => (
  <Disclosure summary={summary}>
    {children && <p>{children}</p>}
    <Press class="actions" {...press} />
  </Disclosure>
)
