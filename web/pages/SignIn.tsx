import { Actions, Button } from '../parts/blocks.tsx'
import { ErrorSummary } from '../parts/button-form.tsx'
import { demoAccounts, demoPassword } from '../parts/demo-accounts.ts'
import { Door } from '../parts/door.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'

interface Props {
  form: FormState
  /** Where to go afterwards, a path of ours. */
  next: string
  isDemo: boolean
}

/** The door. In the demo it opens at a press. */
export function SignIn({ form, next, isDemo }: Props) {
  return (
    <>
      <Form class="form form-beside" action="/sign-in" hidden={{ next }} {...form}>
        <Door>{isDemo && <DemoAccounts />}</Door>
        <ErrorSummary before="you are signed in" />
        <TextField name="email" label="E-mail address" type="email" autoComplete="username" />
        <PasswordField name="password" label="Password" />
        <Actions>
          <Button main={!isDemo}>Sign in</Button>
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
      {isDemo &&
        demoAccounts.map(({ email }, index) => (
          <Form
            key={email}
            id={`demo-${index}`}
            class="inline"
            action="/sign-in"
            hidden={{ next, email, password: demoPassword }}
          >
            {null}
          </Form>
        ))}
    </>
  )
}

/** Nobody types an address on a phone to look around. The forms that these buttons send stand after the one around them. */
function DemoAccounts() {
  return (
    <div class="demo-accounts">
      <p>This is the demo, and everybody in it is invented. Look around as</p>
      <div class="actions">
        {demoAccounts.map(({ role, email }, index) => (
          <button
            key={email}
            type="submit"
            form={`demo-${index}`}
            class={index === 0 ? 'button button-main' : 'button'}
            aria-label={`Look around as ${role}`}
          >
            {role}
          </button>
        ))}
      </div>
      <p class="quiet">
        Or sign in as <code>asker@demo.example</code>, with <code>{demoPassword}</code>.
      </p>
    </div>
  )
}
