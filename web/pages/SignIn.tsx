import { Actions, Button } from '../parts/button.tsx'
import { Door } from '../parts/door.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'

interface Props {
  form: FormState
  /** Where to go afterwards, a path of ours. */
  next: string
  isDemo: boolean
}

/** The door. In the demo it tells who can be tried. */
export function SignIn({ form, next, isDemo }: Props) {
  return (
    <Form class="form form-beside" action="/sign-in" hidden={{ next }} {...form}>
      <Door>{isDemo && <DemoAccounts />}</Door>
      <ErrorSummary before="you are signed in" />
      <TextField name="email" label="E-mail address" type="email" autoComplete="username" />
      <PasswordField name="password" label="Password" />
      <Actions>
        <Button main>Sign in</Button>
      </Actions>
      <div class="door-help">
        <p>
          <strong>Forgot your password?</strong> Ask a steward for a link that sets a new one. If you are the owner,
          whoever looks after the server can make it.
        </p>
        <p>
          <strong>New here?</strong> Ask any steward for an invitation, which is a link as well.
        </p>
      </div>
    </Form>
  )
}

function DemoAccounts() {
  return (
    <p>
      This is the demo, and everybody in it is invented. Sign in as <code>asker@demo.example</code> (a member),{' '}
      <code>steward@demo.example</code> or <code>owner@demo.example</code>; the password is <code>print it again</code>{' '}
      for each.
    </p>
  )
}
