import { Button } from './button.tsx'
import { Form, type FormProps } from './form.tsx'

interface Props extends Omit<FormProps, 'children' | 'label'> {
  /** What its button says. */
  button: string
  main?: boolean
  /** What the button is about, for those who hear it out of its row. */
  label?: string
}

/** A button that does something by itself: a form of nothing else. */
export const Press = ({ button, main, label, ...form }: Props) => (
  <Form class="inline" {...form}>
    <Button main={main} label={label}>
      {button}
    </Button>
  </Form>
)
