import { Actions, Button } from '../parts/button.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'

interface Props {
  form: { values: Values; errors: Errors }
  /** Where to go afterwards, a path of ours. */
  next: string
  isDemo: boolean
}

/** The door. In the demo it tells who can be tried. */
export function SignIn({ form, next, isDemo }: Props) {
  return (
    <>
      {isDemo && <DemoAccounts />}
      <Form action="/sign-in" hidden={{ next }} {...form}>
        <ErrorSummary before="you are signed in" />
        <TextField name="email" label="E-mail address" type="email" autoComplete="username" />
        <PasswordField name="password" label="Password" />
        <Actions>
          <Button main>Sign in</Button>
        </Actions>
      </Form>
      <p>New here, or forgot your password? Ask a steward for a link: the group lets people in, and back in, by one.</p>
    </>
  )
}

function DemoAccounts() {
  return (
    <p>
      This is the demo: an invented group. Sign in as <code>asker@demo.example</code> (a member),{' '}
      <code>steward@demo.example</code> or <code>owner@demo.example</code>, all with the password{' '}
      <code>print it again</code>.
    </p>
  )
}
