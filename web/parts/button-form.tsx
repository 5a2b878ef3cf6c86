import type { ComponentChildren } from 'preact'
import { Actions, Beside, Button, Disclosure } from './blocks.tsx'
import { TextField } from './field.tsx'
import { Form, type FormProps, type FormState, fieldId, isRefused, useForm } from './form.tsx'

export type { FormState }

/** A form as a route hands it to a page: what was typed and what is wrong, and what goes along unseen. */
export interface SentForm {
  form: FormState
  hidden: Record<string, string>
}

/** The same, and where it goes. */
export interface RoutedForm extends SentForm {
  action: string
}

interface ButtonFormProps extends Omit<FormProps, 'values' | 'errors'> {
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
export const ButtonForm = ({ form, button, buttonLabel, main, back, before, aside, ...props }: ButtonFormProps) => (
  <Form {...props} {...form}>
    <ErrorSummary before={before} />
    {props.children}
    <Actions>
      <Button main={main} label={buttonLabel}>
        {button}
      </Button>
      {back && <a href={back[0]}>{back[1]}</a>}
    </Actions>
    {aside && <Beside>{aside}</Beside>}
  </Form>
)

/** What a page is for: a wide form, with help or a picture at its right. */
export const EditForm = (props: ButtonFormProps) => <ButtonForm main class="form form-beside" {...props} />

interface FoldedFormProps extends ButtonFormProps {
  form: FormState
  summary: string
  /** Where it is unfolded besides. */
  open?: boolean
}

/** A smaller form, folded away until it is wanted; refused it stands open. */
export const FoldedForm = ({ summary, open = false, ...props }: FoldedFormProps) => (
  <Disclosure summary={summary} open={open || isRefused(props.form)}>
    <ButtonForm {...props} />
  </Disclosure>
)

/**
 * What to mend, at the top of a refused form; each line names its field and leads to it.
 *
 * @param before what can be done then
 */
export function ErrorSummary({ before = 'this can be kept' }: { before?: string | undefined }) {
  const { id, errors, labels } = useForm()
  const lines = Object.entries(errors)
  if (lines.length === 0) return null
  return (
    <div class="error-summary" role="alert" tabIndex={-1} id={`${id}-errors`} data-focus>
      <p class="error-summary-title">
        {lines.length === 1 ? 'One thing' : `${lines.length} things`} to correct before {before}
      </p>
      <ul>
        {lines.map(([name, message]) => (
          <li key={name}>
            {name === '' ? (
              message
            ) : (
              <a href={`#${fieldId(id, name)}`}>
                {[labels.get(fieldId(id, name)), message].filter(Boolean).join(': ')}
              </a>
            )}
          </li>
        ))}
      </ul>
    </div>
  )
}

interface PressProps extends Omit<FormProps, 'children' | 'label'> {
  /** What its button says. */
  button: string
  main?: boolean
  /** What the button is about, for those who hear it out of its row. */
  label?: string
}

/** A button that does something by itself: a form of nothing else. */
export const Press = ({ button, main, label, ...form }: PressProps) => (
  <Form class="inline" {...form}>
    <Button main={main} label={label}>
      {button}
    </Button>
  </Form>
)

/** What nobody is to do by accident: its button is folded away, under what will come of it. */
export const FoldedPress = ({
  summary,
  children,
  ...press
}: PressProps & { summary: string; children?: ComponentChildren }) => (
  <Disclosure summary={summary}>
    {children && <p>{children}</p>}
    <Press class="actions" {...press} />
  </Disclosure>
)

interface LookUpProps extends Omit<FormProps, 'children'> {
  /** What can be typed: "Title or sculptor; near enough will do". */
  words: string
  /** What was looked for. */
  q: string
  /** There is nothing else to do. */
  main?: boolean
}

/** A box for what somebody looks for. @param action the page that lists what is found */
export const LookUp = ({ words, q, main, ...form }: LookUpProps) => (
  <Form method="get" class="search" values={{ q }} {...form}>
    <TextField optional type="search" name="q" label={words} />
    <Button main={main}>Look up</Button>
  </Form>
)
