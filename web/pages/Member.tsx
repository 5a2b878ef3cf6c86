import { Button } from '../parts/button.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { LinkToCopy } from '../parts/link-to-copy.tsx'
import { Facts, Section } from '../parts/section.tsx'

interface Props {
  member: {
    id: string
    name: string
    role: 'member' | 'steward' | 'owner'
    state: 'active' | 'left'
    joinedAt: string
    email?: string | undefined
  }
  printers: { id: string; name: string }[]
  isMe: boolean
  mayRole: boolean
  mayState: boolean
  mayWayBack: boolean
  maySignOut: boolean
  /** A way back in that was just made, told this once. */
  link: string | undefined
  /** What will be in the next one. */
  code: string
  form: { values: Values; errors: Errors }
  hidden: Record<string, string>
}

/** One member: who they are, what they print with, and what the reader may do about them. */
export function Member({ member, printers, isMe, ...props }: Props) {
  return (
    <>
      {props.link && <NewLink link={props.link} name={member.name} />}
      {isMe && (
        <p>
          This is you. <a href="/me">Change your name, password or usual printer</a>.
        </p>
      )}
      <Facts
        facts={[
          ['Role', member.state === 'left' ? `was ${member.role}, has left` : member.role],
          ['Since', <DateWords key="since" on={member.joinedAt} />],
          ['E-mail address', member.email],
          ['Prints with', printers.length > 0 && <PrinterLinks printers={printers} />],
        ]}
      />
      {(props.mayRole || props.mayState) && !isMe && <Standing member={member} {...props} />}
      <p>
        <a href="/members">All members</a>
      </p>
    </>
  )
}

function NewLink({ link, name }: { link: string; name: string }) {
  return (
    <Section heading={`A way back in for ${name}`}>
      <p>
        Copy this link and give it to {name}, in a way that nobody else reads. It is good for a day, works once, and is
        shown this once.
      </p>
      <LinkToCopy id="way-back-link" label="Link to a new password" link={link} />
    </Section>
  )
}

function PrinterLinks({ printers }: { printers: Props['printers'] }) {
  return (
    <>
      {printers.map(({ id, name }, index) => (
        <span key={id}>
          {index > 0 && ', '}
          <a href={`/printers/${id}`}>{name}</a>
        </span>
      ))}
    </>
  )
}

const roles = [
  { value: 'member', label: 'member', note: 'asks, proposes, votes and reports' },
  {
    value: 'steward',
    label: 'steward',
    note: 'also keeps names, prices, links and snags true, and lets people in and out',
  },
]

function Standing({
  member,
  mayRole,
  mayState,
  mayWayBack,
  maySignOut,
  code,
  form,
  hidden,
}: Omit<Props, 'printers' | 'isMe'>) {
  const action = `/members/${member.id}`
  const hasLeft = member.state === 'left'
  return (
    <Section heading="Role and leaving">
      {form.errors[''] && (
        <div class="error-summary" role="alert">
          <p class="error-summary-title">{form.errors['']}</p>
        </div>
      )}
      {mayRole && !hasLeft && (
        <Form action={`${action}/role`} id="role" hidden={hidden} {...form}>
          <RadioGroup name="role" label={`What ${member.name} is in the group`} options={roles} />
          <div class="actions">
            <Button main>Keep this role</Button>
          </div>
        </Form>
      )}
      {mayRole && !hasLeft && (
        <Disclosure summary={`Make ${member.name} the owner`}>
          <p>
            The owner changes roles and answers for the group. There is one: {member.name} will be it, and you will be a
            steward. Only {member.name} can give it back.
          </p>
          <Form action={`${action}/role`} id="owner" class="actions" hidden={{ ...hidden, role: 'owner' }}>
            <Button>Hand the group over to {member.name}</Button>
          </Form>
        </Disclosure>
      )}
      {mayWayBack && (
        <Disclosure summary={`${member.name} forgot the password`}>
          <p>
            Make a link by which {member.name} sets a new one. Whoever has it can become {member.name}, so be sure who
            asks you.
          </p>
          <Form action={`${action}/way-back`} id="way-back" class="actions" hidden={{ code }}>
            <Button>Make a way back in</Button>
          </Form>
        </Disclosure>
      )}
      {maySignOut && (
        <Disclosure summary={`Sign ${member.name} out everywhere`}>
          <p>
            For a lost phone, or when somebody else seems to use the account. {member.name} can sign in again with the
            password; if others may know it, make a way back in as well, by which it is changed.
          </p>
          <Form action={`${action}/sign-out`} id="sign-out" class="actions" hidden={{ once: hidden.once ?? '' }}>
            <Button>Sign {member.name} out</Button>
          </Form>
        </Disclosure>
      )}
      {mayState && !hasLeft && (
        <Disclosure summary={`Let ${member.name} leave`}>
          <p>
            {member.name} is signed out everywhere at once and can't sign in any more. Their requests, votes and reports
            stay, since others build on them. You can let them back in here.
          </p>
          <Form action={`${action}/state`} id="leave" class="actions" hidden={{ ...hidden, state: 'left' }}>
            <Button>Let {member.name} leave</Button>
          </Form>
        </Disclosure>
      )}
      {mayState && hasLeft && (
        <Form action={`${action}/state`} id="back" class="actions" hidden={{ ...hidden, state: 'active' }}>
          <Button main>Let {member.name} back in</Button>
        </Form>
      )}
    </Section>
  )
}
