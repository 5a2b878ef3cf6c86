import { EditForm } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { Door } from '../parts/door.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import type { FormState } from '../parts/form.tsx'

interface Props {
  form: FormState
  asksCode: boolean
  currencies: readonly string[]
}

/** The first page of an empty installation: the group and its owner. */
export function Setup({ form, asksCode, currencies }: Props) {
  return (
    <EditForm form={form} action="/setup" before="the group is set up" button="Set up the group">
      <Door>
        <ol class="next-here">
          <li>Name the group here and become its owner.</li>
          <li>Invite the others: each gets in by a link that you send.</li>
          <li>Ask for the first unit, or paste a roster.</li>
        </ol>
      </Door>
      {asksCode && (
        <TextField
          name="setupCode"
          label="Set-up code"
          hint="The service printed it in its log when it started, so that no passer-by becomes the owner."
          autoComplete="off"
        />
      )}
      <TextField name="groupName" label="Name of the group" />
      <SelectField
        name="currency"
        label="Currency in which the group counts"
        hint="It can be changed until the first price is entered."
        options={currencies.map((code) => ({ value: code, label: code }))}
      />
      <TextField name="owner.name" label="Your name in the group" autoComplete="name" />
      <TextField name="owner.email" label="Your e-mail address" type="email" autoComplete="email" />
      <PasswordField
        fresh
        name="owner.password"
        label="A password"
        hint="At least 10 characters. A few unrelated words make a good one."
      />
    </EditForm>
  )
}
