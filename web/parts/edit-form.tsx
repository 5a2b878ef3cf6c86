import type { ComponentChildren } from 'preact'
import { Beside } from './beside.tsx'
import { Actions, Button } from './button.tsx'
import { ErrorSummary } from './error-summary.tsx'
import { Form, type FormProps, type FormState } from './form.tsx'

/** A form as a route hands it to a page: its state, where it goes, and what goes along unseen. */
export interface RoutedForm {
  form: FormState
  action: string
  hidden: Record<string, string>
}

interface Props extends Omit<FormProps, 'values' | 'errors'> {
  form?: Partial<FormState> | false
  /** What its button says. */
  button: string
  /** What the button is about, for those who hear it out of its row. */
  buttonLabel?: string
  /** The one thing that the page is for. */
  main?: boolean
  /** A link beside the button. */
  back?: [href: string, words: string]
  /** What can be done once all is mended. */
  before?: string
  /** At the right of a wide form; on a phone after the button. */
  aside?: ComponentChildren
}

/** A form with what is to be mended at its head and its button at its foot. */
export function ButtonForm({ form, button, buttonLabel, main, back, before, aside, children, ...props }: Props) {
  return (
    <Form {...props} {...form}>
      <ErrorSummary before={before} />
      {children}
      <Actions>
        <Button main={main} label={buttonLabel}>
          {button}
        </Button>
        {back && <a href={back[0]}>{back[1]}</a>}
      </Actions>
      {aside && <Beside>{aside}</Beside>}
    </Form>
  )
}

/** What a page is for: a wide form, with help or a picture at its right. */
export const EditForm = (props: Props) => <ButtonForm main class="form form-beside" {...props} />
