import { ButtonLink, Columns, EmptyState, LinkToCopy, Section } from '../parts/blocks.tsx'
import { ButtonForm, FoldedPress, type FormState, Press } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { capital, roles } from '../parts/member-words.ts'
import { type Machine, MachinePlate, roomWords } from '../parts/plate-drawing.tsx'
import type { MemberRow } from './Members.tsx'

interface Props {
  member: MemberRow & { state: 'active' | 'left' }
  printers: Machine[]
  isMe: boolean
  mayRole: boolean
  mayState: boolean
  mayWayBack: boolean
  maySignOut: boolean
  /** A way back in that was just made, told this once. */
  link: string | undefined
  /** What will be in the next one. */
  code: string
  form: FormState
  hidden: Record<string, string>
}

/** Who they are, under their name. */
export function MemberLead({ member, isMe }: Pick<Props, 'member' | 'isMe'>) {
  return (
    <>
      {member.state === 'left' ? `Was ${aRole[member.role]} and has left; came in` : capital(aRole[member.role])}
      {member.state === 'left' ? ' on ' : ' since '}
      <DateWords on={member.joinedAt} />.
      {isMe && (
        <>
          {' '}
          This is <a href="/me">you</a>.
        </>
      )}
    </>
  )
}

const aRole = { member: 'a member', steward: 'a steward', owner: 'the owner' }
/** One member: what they print with, and what the reader may do about them. */
export function Member({ member, printers, isMe, ...props }: Props) {
  return (
    <>
      {props.link && (
        <Section heading={`A password link for ${member.name}`}>
          <p>
            Copy this link and give it to {member.name}, where nobody else can read it. It works once, within a day, and
            is shown only now.
          </p>
          <LinkToCopy id="way-back-link" label="Link to a new password" link={props.link} />
        </Section>
      )}
      <Columns
        main={
          <>
            <Section heading={printers.length === 1 ? 'Printer' : 'Printers'}>
              <MachineList printers={printers} isMe={isMe} />
            </Section>
            {(props.mayRole || props.mayState) && !isMe && <Standing member={member} {...props} />}
          </>
        }
        aside={
          <>
            {member.email && !isMe && (
              <p class="quiet">
                Signs in as {member.email}, which only {member.name} and the stewards see.
              </p>
            )}
            <p>
              <a href="/members">All members</a>
            </p>
          </>
        }
      />
    </>
  )
}

function MachineList({ printers, isMe }: Pick<Props, 'printers' | 'isMe'>) {
  if (printers.length === 0) {
    return (
      <EmptyState words="No printer here yet.">
        {isMe && <ButtonLink href="/printers/new">Add a printer</ButtonLink>}
      </EmptyState>
    )
  }
  return (
    <ul class="machine-plates">
      {printers.map(({ id, name, plateMm, buildHeightMm }) => (
        <li key={id}>
          <MachinePlate plateMm={plateMm} />
          <p>
            <a href={`/printers/${id}`}>{name}</a>
            <small>{roomWords(plateMm, buildHeightMm)}</small>
          </p>
        </li>
      ))}
    </ul>
  )
}

function Standing({ member, form, hidden, ...props }: Omit<Props, 'printers' | 'isMe'>) {
  const { name } = member
  const here = `/members/${member.id}`
  const hasLeft = member.state === 'left'
  return (
    <Section heading="Role and leaving">
      {form.errors[''] && (
        <div class="error-summary" role="alert">
          <p class="error-summary-title">{form.errors['']}</p>
        </div>
      )}
      {props.mayRole && !hasLeft && <Role member={member} form={form} hidden={hidden} />}
      {props.mayWayBack && <WayBack name={name} here={here} code={props.code} />}
      {props.maySignOut && (
        <FoldedPress
          summary={`Sign ${name} out everywhere`}
          id="sign-out"
          action={`${here}/sign-out`}
          hidden={{ once: hidden.once ?? '' }}
          button={`Sign ${name} out`}
        >
          For a lost phone, or when somebody else seems to use the account. {name} can sign in again with the password;
          if others may know it, make a password link as well, to change it.
        </FoldedPress>
      )}
      {props.mayState && !hasLeft && (
        <FoldedPress
          summary={`Remove ${name} from the group`}
          id="leave"
          action={`${here}/state`}
          hidden={{ ...hidden, state: 'left' }}
          button={`Remove ${name} from the group`}
        >
          {name} is signed out everywhere at once and can't sign in any more. Their requests, votes and reports stay,
          since others build on them. You can let them back in here.
        </FoldedPress>
      )}
      {props.mayState && hasLeft && (
        <Press
          main
          id="back"
          class="actions"
          action={`${here}/state`}
          hidden={{ ...hidden, state: 'active' }}
          button={`Let ${name} back in`}
        />
      )}
    </Section>
  )
}

function WayBack({ name, here, code }: Pick<Props, 'code'> & { name: string; here: string }) {
  return (
    <FoldedPress
      summary={`${name} forgot the password`}
      id="way-back"
      action={`${here}/way-back`}
      hidden={{ code }}
      button="Make a password link"
    >
      This makes a link with which {name} can set a new password. Anybody who has the link can sign in as {name}, so
      make sure who is asking.
    </FoldedPress>
  )
}

function Role({ member, form, hidden }: Pick<Props, 'member' | 'form' | 'hidden'>) {
  const action = `/members/${member.id}/role`
  return (
    <>
      <ButtonForm main form={form} action={action} id="role" hidden={hidden} button="Keep this role">
        <RadioGroup name="role" label={`What ${member.name} is in the group`} options={roles} />
      </ButtonForm>
      <FoldedPress
        summary={`Make ${member.name} the owner`}
        id="owner"
        action={action}
        hidden={{ ...hidden, role: 'owner' }}
        button={`Hand the group over to ${member.name}`}
      >
        The owner changes roles and answers for the group. There is only one: it will be {member.name}, and you will be
        a steward. Only {member.name} can give it back.
      </FoldedPress>
    </>
  )
}
