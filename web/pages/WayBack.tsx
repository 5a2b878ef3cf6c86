import { Actions, Button } from '../parts/button.tsx'
import { Door } from '../parts/door.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { PasswordField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'

interface Props {
  name: string
  code: string
  form: FormState
}

/** For a member who forgot their password: a new one. */
export function WayBack({ name, code, form }: Props) {
  return (
    <Form class="form form-beside" action={`/way-back/${code}`} {...form}>
      <Door>
        <p>Welcome back, {name}. Choose a new password; the old one then no longer works.</p>
      </Door>
      <ErrorSummary before="you are back in" />
      <PasswordField
        fresh
        name="password"
        label="A new password"
        hint="At least 10 characters. A few unrelated words make a good one."
      />
      <Actions>
        <Button main>Set it and sign in</Button>
      </Actions>
    </Form>
  )
}
