import type { ComponentChildren } from 'preact'
import { Actions, Beside, Button } from '../parts/blocks.tsx'
import { EditForm, ErrorSummary } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { demoAccounts, demoPassword } from '../parts/demo-accounts.ts'
import figures from '../parts/door-figures.json' with { type: 'json' }
import { PasswordField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import type { Outline } from '../parts/outline.ts'
import { Shadow, type Stage } from '../parts/shadow.tsx'

interface SignInProps {
  form: FormState
  /** Where to go afterwards, a path of ours. */
  next: string
  isDemo: boolean
}

/** The door. In the demo it opens at a press. */
export function SignIn({ form, next, isDemo }: SignInProps) {
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
            <strong>Forgot your password?</strong> Ask a steward or the owner for a link that sets a new one. If you are
            the owner, whoever looks after the server can make it.
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

const newPassword = { fresh: true, hint: 'At least 10 characters. A few unrelated words make a good one.' }

interface JoinProps {
  code: string
  role: string
  invitedBy: string
  form: FormState
}

/** Behind an invitation's link: who one wants to be in the group. */
export function Join({ code, role, invitedBy, form }: JoinProps) {
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
      <PasswordField {...newPassword} name="password" label="A password" />
    </EditForm>
  )
}

interface WayBackProps {
  name: string
  code: string
  form: FormState
}

/** For a member who forgot their password: a new one. */
export function WayBack({ name, code, form }: WayBackProps) {
  return (
    <EditForm form={form} action={`/way-back/${code}`} before="you are back in" button="Set it and sign in">
      <Door>
        <p>Welcome back, {name}. Choose a new password; the old one then no longer works.</p>
      </Door>
      <PasswordField {...newPassword} name="password" label="A new password" />
    </EditForm>
  )
}

interface SetupProps {
  form: FormState
  asksCode: boolean
  currencies: { value: string; label: string }[]
}

/** The first page of an empty installation: the group and its owner. */
export function Setup({ form, asksCode, currencies }: SetupProps) {
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
        options={currencies}
      />
      <TextField name="owner.name" label="Your name in the group" autoComplete="name" />
      <TextField name="owner.email" label="Your e-mail address" type="email" autoComplete="email" />
      <PasswordField {...newPassword} name="owner.password" label="A password" />
    </EditForm>
  )
}

const stages: Stage[] = ['wanted', 'to print', 'printed', 'built', 'painted']

const pxPerMm = 1.9

/** What this is, for whoever has never been here. */
export const doorLead =
  'The group works out here which file to print for a unit, and what it really costs to get it onto the table.'

/** What a stranger sees beside the form at the door: models on their way to the table, and what the place is for. */
function Door({ children }: { children?: ComponentChildren }) {
  return (
    <Beside>
      <figure class="door">
        <div class="door-row" role="img" aria-label="Five models in a row, each further on its way to the table">
          {figures.map(({ front, widthMm, heightMm, baseMm }, index) => (
            <Shadow
              key={index}
              figure={{
                shadow: { front: outlineOf(front), widthMm, heightMm },
                base: { shape: 'round', widthMm: baseMm, lengthMm: null },
                scaleMm: 28,
              }}
              stage={stages[index] ?? 'built'}
              pxPerMm={pxPerMm}
            />
          ))}
        </div>
        <figcaption class="quiet">Wanted, to print, printed, built, painted</figcaption>
      </figure>
      {children}
    </Beside>
  )
}

/** Rings as `door-figures.json` has them, "0,0 4,0 4,9;…", in mm. */
const outlineOf = (text: string): Outline =>
  text.split(';').map((ring) =>
    ring.split(' ').map((point) => {
      const [x = 0, y = 0] = point.split(',').map(Number)
      return [x, y]
    }),
  )
