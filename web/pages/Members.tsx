import { Columns, Disclosure, EmptyState, LinkList, LinkToCopy, Pager, Section } from '../parts/blocks.tsx'
import { ButtonForm, Press, type SentForm } from '../parts/button-form.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DateWords, minuteWords } from '../parts/date-words.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { roles } from '../parts/member-words.ts'
import { useReader } from '../parts/reader.tsx'
import { Pawn } from '../parts/votes.tsx'

export interface MemberRow {
  id: string
  name: string
  role: 'member' | 'steward' | 'owner'
  joinedAt: string
  /** Only where the reader may see it. */
  email?: string | undefined
}

interface Invitation {
  id: string
  role: 'member' | 'steward'
  usesLeft: number
  /** Whom it is for. */
  note: string
  expiresAt: string
  /** Tells apart those that are for nobody in particular. */
  createdAt: string
  createdBy: { id: string; name: string }
}

interface Inviting extends SentForm {
  /** Only the owner invites stewards. */
  maySteward: boolean
  open: Invitation[]
  /** The link just made, told this once. */
  link?: string | undefined
}

interface Props {
  members: MemberRow[]
  next: string | null
  left: { id: string; name: string }[]
  /** For stewards. */
  inviting: Inviting | null
}

/** Everybody in the group; for stewards also the door. */
export function Members({ members, next, left, inviting }: Props) {
  return (
    <>
      {inviting?.link && (
        <Section heading="Your new invitation">
          <p>Copy this link and send it to whoever you invite. It is shown only now; if it gets lost, make another.</p>
          <LinkToCopy id="invitation-link" label="Link to the invitation" link={inviting.link} />
        </Section>
      )}
      <MemberRows members={members} />
      <Pager href={next && `/members?after=${encodeURIComponent(next)}`} />
      {inviting && <Invite {...inviting} />}
      {left.length > 0 && (
        <Disclosure summary={left.length === 1 ? 'One has left' : `${left.length} have left`}>
          <p>
            <LinkList to="members" things={left} />
          </p>
        </Disclosure>
      )}
    </>
  )
}

function MemberRows({ members }: Pick<Props, 'members'>) {
  return (
    <ul class="rows rows-members">
      {members.map((who) => (
        <li key={who.id}>
          <span class="row-drawing">
            <Pawn />
          </span>
          <span class="row-name">
            <a href={`/members/${who.id}`}>{who.name}</a>
          </span>
          <span class="row-sum">
            <small>
              since <DateWords on={who.joinedAt} />
            </small>
          </span>
          <span class="row-note">{who.email}</span>
          <span class="row-far">{who.role !== 'member' && <strong>{who.role}</strong>}</span>
        </li>
      ))}
    </ul>
  )
}

function Invite({ form, hidden, maySteward, open }: Inviting) {
  return (
    <Section heading="Invite somebody" id="invite">
      <Columns
        main={
          <ButtonForm
            main
            form={form}
            action="/members/invitations"
            id="invite-form"
            hidden={hidden}
            before="there is a link"
            button="Make a link"
          >
            <p>
              Nobody gets in without an invitation. Make a link and send it; whoever opens it chooses a name and a
              password.
            </p>
            {maySteward && <RadioGroup name="role" label="They come in as" options={roles} />}
            <TextField
              optional
              name="note"
              label="For whom"
              hint="A name or a word, so that the stewards know whose link it is."
              maxLength={120}
            />
            <NumberField whole name="uses" label="For how many people" hint="Up to 50, one after another." />
            <NumberField whole name="expiresInDays" label="Good for" unit="days" hint="Up to 90." />
          </ButtonForm>
        }
        aside={<Open invitations={open} />}
      />
    </Section>
  )
}

function Open({ invitations }: { invitations: Invitation[] }) {
  const { locale, timeZone } = useReader()
  if (invitations.length === 0)
    return <EmptyState words="No invitation is open. Make a link when somebody wants to join." />
  return (
    <div>
      <h3>Open invitations</h3>
      <ul class="endings">
        {invitations.map(({ id, role, note, usesLeft, expiresAt, createdAt, createdBy }) => (
          <li key={id}>
            <p>
              <strong>{note || 'For anybody'}</strong>
              <small>
                as a {role}; lets {usesLeft === 1 ? 'one more' : `${usesLeft} more`} in; good until{' '}
                <DateWords on={expiresAt} as="both" />; made by {createdBy.name} on{' '}
                <DateWords on={createdAt} as="minute" />
              </small>
            </p>
            <Press
              action={`/members/invitations/${id}/withdraw`}
              id={`withdraw-${id}`}
              class="actions"
              button="Withdraw"
              label={`Withdraw the invitation as ${role} by ${createdBy.name}, ${note ? `for ${note}` : `made on ${minuteWords(createdAt, locale, timeZone)}`}`}
            />
          </li>
        ))}
      </ul>
    </div>
  )
}
