import { Actions, Button } from '../parts/button.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'

interface Props {
  code: string
  role: string
  invitedBy: string
  form: { values: Values; errors: Errors }
}

/** Behind an invitation's link: who one wants to be in the group. */
export function Join({ code, role, invitedBy, form }: Props) {
  return (
    <>
      <p class="lead">
        {invitedBy} invites you as a {role}.
      </p>
      <Form action={`/invitations/${code}`} {...form}>
        <ErrorSummary before="you can join" />
        <TextField name="name" label="Your name in the group" autoComplete="name" />
        <TextField name="email" label="Your e-mail address" type="email" autoComplete="email" />
        <PasswordField
          fresh
          name="password"
          label="A password"
          hint="At least 10 characters. A few unrelated words make a good one."
        />
        <Actions>
          <Button main>Join</Button>
        </Actions>
      </Form>
    </>
  )
}
