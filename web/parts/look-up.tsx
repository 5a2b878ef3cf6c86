import { Button } from './button.tsx'
import { TextField } from './field.tsx'
import { Form } from './form.tsx'

interface Props {
  /** The page that lists what is found. */
  action: string
  /** "Look a unit up" */
  label?: string
  /** What can be typed: "Title or sculptor; near enough will do". */
  words: string
  /** What was looked for. */
  q: string
  /** Needed where the page has another form. */
  id?: string
  /** There is nothing else to do. */
  main?: boolean
}

/** A box for what somebody looks for. */
export function LookUp({ words, q, main, ...form }: Props) {
  return (
    <Form method="get" class="search" values={{ q }} {...form}>
      <TextField optional type="search" name="q" label={words} />
      <Button main={main}>Look up</Button>
    </Form>
  )
}
