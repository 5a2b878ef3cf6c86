import { Actions, Button } from '../parts/button.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'

interface Props {
  form: { values: Values; errors: Errors }
  asksCode: boolean
  currencies: readonly string[]
}

/** The first page of an empty installation: the group and its owner. */
export function Setup({ form, asksCode, currencies }: Props) {
  return (
    <>
      <p class="lead">
        This installation is empty. Name your group and become its owner; the others come in by invitation.
      </p>
      <Form action="/setup" {...form}>
        <ErrorSummary before="the group is set up" />
        {asksCode && (
          <TextField
            name="setupCode"
            label="Set-up code"
            hint="The log of the service printed it at its start, so that no passer-by becomes the owner."
            autoComplete="off"
          />
        )}
        <TextField name="groupName" label="Name of the group" />
        <SelectField
          name="currency"
          label="Currency in which the group counts"
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
        <Actions>
          <Button main>Set up the group</Button>
        </Actions>
      </Form>
    </>
  )
}
