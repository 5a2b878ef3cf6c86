import { EditForm } from '../parts/button-form.tsx'
import { Door } from '../parts/door.tsx'
import { PasswordField } from '../parts/field.tsx'
import type { FormState } from '../parts/form.tsx'

interface Props {
  name: string
  code: string
  form: FormState
}

/** For a member who forgot their password: a new one. */
export function WayBack({ name, code, form }: Props) {
  return (
    <EditForm form={form} action={`/way-back/${code}`} before="you are back in" button="Set it and sign in">
      <Door>
        <p>Welcome back, {name}. Choose a new password; the old one then no longer works.</p>
      </Door>
      <PasswordField
        fresh
        name="password"
        label="A new password"
        hint="At least 10 characters. A few unrelated words make a good one."
      />
    </EditForm>
  )
}
