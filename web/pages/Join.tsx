import { EditForm } from '../parts/button-form.tsx'
import { Door } from '../parts/door.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import type { FormState } from '../parts/form.tsx'

interface Props {
  code: string
  role: string
  invitedBy: string
  form: FormState
}

/** Behind an invitation's link: who one wants to be in the group. */
export function Join({ code, role, invitedBy, form }: Props) {
  return (
    <EditForm form={form} action={`/invitations/${code}`} before="you can join" button="Join">
      <Door>
        <p>
          {invitedBy} invites you as a {role}.{' '}
          {role === 'steward'
            ? 'A steward keeps names, prices and links true, and lets people in and out.'
            : 'Members ask for stand-ins, propose files, vote on them and say how their prints came out.'}
        </p>
        <p class="quiet">Been here before? Don’t join twice: sign in, or ask a steward for a link to a new password.</p>
      </Door>
      <TextField name="name" label="Your name in the group" autoComplete="name" />
      <TextField
        name="email"
        label="Your e-mail address"
        type="email"
        autoComplete="email"
        hint="You sign in with it. Only the stewards see it, and nothing is ever sent to it."
      />
      <PasswordField
        fresh
        name="password"
        label="A password"
        hint="At least 10 characters. A few unrelated words make a good one."
      />
    </EditForm>
  )
}
