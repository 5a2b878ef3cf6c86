import { Beside, Columns, Section } from '../parts/blocks.tsx'
import { EditForm, FoldedForm, FoldedPress, type FormState, Press, type SentForm } from '../parts/button-form.tsx'
import { byName, RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { PasswordField, TextField } from '../parts/field.tsx'
import { type Bottle, Paid } from '../parts/money.tsx'
import { type Machine, MachinePlate, roomWords } from '../parts/plate-drawing.tsx'

interface Props {
  id: string
  role: 'member' | 'steward' | 'owner'
  email: string
  printers: { id: string; name: string; owner: string | null }[]
  resins: { id: string; name: string }[]
  /** What is chosen of them. */
  usual: Usual
  about: FormState
  address: FormState
  password: FormState
  sessions: Session[]
  /** Of each form its own: a second press of one says nothing about another. */
  hidden: Record<'about' | 'address' | 'password' | 'others', Record<string, string>>
}

/** What one changes about oneself. */
export function Account({ id, role, email, printers, resins, usual, about, address, password, ...props }: Props) {
  const { sessions, hidden } = props
  return (
    <>
      <p>
        Also yours: <a href="/archive">your shelf</a>, <a href="/printers">your printers</a>,{' '}
        <a href="/resins">your resins</a>, and <a href={`/members/${id}`}>you as the others see you</a>.
      </p>
      <About printers={printers} resins={resins} usual={usual} form={about} hidden={hidden.about} />
      <Columns
        main={
          <>
            <Section heading="How you sign in">
              <p>
                With {email} and your password. Only you and the stewards see the address, and nothing is ever sent to
                it.
              </p>
              <Address form={address} hidden={hidden.address} />
              <Password email={email} form={password} hidden={hidden.password} />
            </Section>
            <Section heading="Leaving">
              {role === 'owner' ? (
                <p>
                  The owner can’t leave. Make somebody else the owner first: open them among{' '}
                  <a href="/members">the members</a>.
                </p>
              ) : (
                <FoldedPress summary="Leave the group" action="/me/leave" id="leave" button="Leave the group">
                  You are signed out everywhere and can’t sign in any more. What you asked, proposed, voted and reported
                  stays, since others build on it. {role === 'steward' ? 'Only the owner' : 'A steward'} can let you
                  back in.
                </FoldedPress>
              )}
            </Section>
          </>
        }
        aside={<AccountSessions sessions={sessions} hidden={hidden.others} />}
      />
    </>
  )
}

const crowdings = [
  { value: 'half empty', label: 'half empty', note: 'plenty of room between the models' },
  'about full',
  { value: 'packed', label: 'packed', note: 'as many as the plate holds' },
]

function About({ printers, resins, usual, ...sent }: SentForm & Pick<Props, 'printers' | 'resins' | 'usual'>) {
  const options = printers.map(({ id, name, owner }) => ({ value: id, label: owner ? `${name} (${owner}’s)` : name }))
  return (
    <Section heading="Your name, and how you print">
      <EditForm {...sent} action="/me" id="about" button="Keep these">
        <AccountUsual {...usual} />
        <TextField name="name" label="Your name in the group" autoComplete="name" />
        <SelectField
          optional
          name="defaultPrinterId"
          label="Usual printer"
          hint="A report starts from it, and answers can be ranked by how well it prints."
          empty="none"
          options={options}
        />
        <SelectField
          optional
          name="defaultResinId"
          label="Usual resin"
          hint={
            <>
              What it costs and weighs counts for you, instead of the group's settings. Add a bottle among{' '}
              <a href="/resins">your resins</a>.
            </>
          }
          empty="none: the group's settings count"
          options={byName(resins)}
        />
        <RadioGroup
          name="defaultCrowding"
          label="How full your plates usually are"
          hint="Used for roster plans, and for reports when the room a copy takes is unknown."
          options={crowdings}
        />
      </EditForm>
    </Section>
  )
}

function Address(sent: SentForm) {
  return (
    <FoldedForm summary="Change your address" {...sent} action="/me/address" id="address" button="Change the address">
      <TextField name="email" label="E-mail address" type="email" autoComplete="email" />
      <PasswordField name="password.old" label="Your password" hint="So that nobody else changes it on your screen." />
    </FoldedForm>
  )
}

function Password({ email, ...sent }: SentForm & { email: string }) {
  return (
    <FoldedForm
      summary="Change your password"
      {...sent}
      action="/me/password"
      id="password"
      button="Change the password"
    >
      {/* Tells a password manager whose password changes; without a name it is not sent. */}
      <input type="email" autoComplete="username" value={email} hidden readOnly />
      <PasswordField name="password.old" label="Your present password" />
      <PasswordField
        fresh
        name="password.new"
        label="The new one"
        hint="At least 10 characters. A few unrelated words make a good one. All your other browsers are signed out."
      />
    </FoldedForm>
  )
}

interface Usual {
  printer: Machine | null
  resin: (Bottle & { id: string; name: string }) | null
}

/** What one usually prints on and with, beside the form that chooses it. */
function AccountUsual({ printer, resin }: Usual) {
  return (
    <Beside>
      {printer ? (
        <figure class="usual">
          <MachinePlate plateMm={printer.plateMm} />
          <figcaption>
            <a href={`/printers/${printer.id}`}>{printer.name}</a>
            <small>{roomWords(printer.plateMm, printer.buildHeightMm)}</small>
          </figcaption>
        </figure>
      ) : (
        <p>
          No usual printer yet. <a href="/printers/new">Add yours</a>, and reports start from it.
        </p>
      )}
      {resin ? (
        <p class="usual">
          <a href={`/resins/${resin.id}/edit`}>{resin.name}</a>, <Paid {...resin} />
          <small>Your answers and plans are priced with it</small>
        </p>
      ) : (
        <p>
          No usual resin: the group’s price counts. <a href="/resins/new">Add a bottle</a>, and yours does.
        </p>
      )}
    </Beside>
  )
}

interface Session {
  id: string
  signedInAt: string
  lastUsedAt: string
  from: string | null
  browser: string | null
  isCurrent: boolean
}

/** Where one is signed in, to be ended one by one or all but this. */
function AccountSessions({ sessions, hidden }: { sessions: Session[]; hidden: Record<string, string> }) {
  return (
    <Section heading="Where you are signed in" id="sessions">
      <p>
        Don't know one of these? Sign it out and change your password. A browser can call itself anything, so its name
        proves nothing.
      </p>
      <ul class="endings">
        {sessions.map((session) => (
          <li key={session.id}>
            <p>
              <strong>{nameOf(session)}</strong>
              <small>
                since <DateWords on={session.signedInAt} />, last used{' '}
                <DateWords on={session.lastUsedAt} as="distance" />
                {session.from && `, from ${session.from}`}
              </small>
            </p>
            {session.isCurrent ? (
              <span class="quiet">this one</span>
            ) : (
              <Press
                action={`/me/sessions/${session.id}/end`}
                id={`end-${session.id}`}
                class="actions"
                button="Sign out"
                label={`Sign out ${nameOf(session)}`}
              />
            )}
          </li>
        ))}
      </ul>
      {sessions.length > 1 && (
        <Press
          action="/me/sign-out-others"
          id="others"
          class="actions"
          hidden={hidden}
          button="Sign out everywhere else"
        />
      )}
    </Section>
  )
}

const nameOf = ({ browser }: Session) => browser ?? 'an unknown browser'
