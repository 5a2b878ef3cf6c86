import { Button } from './button.tsx'
import { TextField } from './field.tsx'
import { Form } from './form.tsx'

interface Props {
  /** The page that lists what is found. */
  action: string
  /** "Look a unit up" */
  label: string
  /** What can be typed: "Title or sculptor; near enough will do". */
  words: string
  /** What was looked for. */
  q?: string
  /** Needed where the page has another form. */
  id?: string
}

/** A box for what somebody looks for. */
export function LookUp({ action, label, words, q = '', id }: Props) {
  return (
    <Form action={action} method="get" class="search" label={label} values={{ q }} {...(id && { id })}>
      <TextField optional type="search" name="q" label={words} />
      <Button>Look up</Button>
    </Form>
  )
}
