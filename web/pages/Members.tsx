import { Button } from '../parts/button.tsx'
import { RadioGroup } from '../parts/choice-field.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { type Errors, Form, type Values } from '../parts/form.tsx'
import { LinkToCopy } from '../parts/link-to-copy.tsx'
import { Pager } from '../parts/pager.tsx'
import { Section } from '../parts/section.tsx'

interface MemberRow {
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
  createdBy: { id: string; name: string }
}

interface Inviting {
  form: { values: Values; errors: Errors }
  hidden: Record<string, string>
  /** Only the owner invites stewards. */
  maySteward: boolean
  open: Invitation[]
  /** The link just made, told this once. */
  link?: string | undefined
}

interface Props {
  members: MemberRow[]
  next: string | null
  left: MemberRow[]
  /** For stewards. */
  inviting: Inviting | null
}

/** Everybody in the group; for stewards also the door. */
export function Members({ members, next, left, inviting }: Props) {
  return (
    <>
      {inviting?.link && <NewLink link={inviting.link} />}
      <DataTable
        caption="In the group"
        rows={members}
        rowKey={({ id }) => id}
        columns={columnsFor(inviting !== null)}
      />
      <Pager href={next && `/members?after=${encodeURIComponent(next)}`} />
      {inviting && <Invite {...inviting} />}
      {left.length > 0 && (
        <Disclosure summary={left.length === 1 ? 'One has left' : `${left.length} have left`}>
          <p>
            {left.map(({ id, name }, index) => (
              <span key={id}>
                {index > 0 && ', '}
                <a href={`/members/${id}`}>{name}</a>
              </span>
            ))}
          </p>
        </Disclosure>
      )}
    </>
  )
}

const columnsFor = (seesAddresses: boolean) => [
  { label: 'Name', head: true, cell: (who: MemberRow) => <a href={`/members/${who.id}`}>{who.name}</a> },
  { label: 'Role', cell: (who: MemberRow) => who.role },
  { label: 'Since', cell: (who: MemberRow) => <DateWords on={who.joinedAt} /> },
  ...(seesAddresses ? [{ label: 'E-mail address', cell: (who: MemberRow) => who.email }] : []),
]

function NewLink({ link }: { link: string }) {
  return (
    <Section heading="Your new invitation">
      <p>
        Copy this link and send it to whom you invite. It is shown this once: nobody can read it here again, though you
        can make another.
      </p>
      <LinkToCopy id="invitation-link" label="Link to the invitation" link={link} />
    </Section>
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

function Invite({ form, hidden, maySteward, open }: Inviting) {
  return (
    <Section heading="Invite somebody" id="invite">
      <p>Nobody gets in without an invitation. Make a link, send it; whoever opens it chooses a name and a password.</p>
      <Form action="/members/invitations" id="invite-form" hidden={hidden} {...form}>
        <ErrorSummary before="there is a link" />
        {maySteward && <RadioGroup name="role" label="They come in as" options={roles} />}
        <TextField
          optional
          name="note"
          label="For whom"
          hint="A name or a word by which you and the other stewards tell it from the others."
          maxLength={120}
        />
        <NumberField whole name="uses" label="For how many people" hint="Up to 50, one after another." />
        <NumberField whole name="expiresInDays" label="Good for" unit="days" hint="Up to 90." />
        <div class="actions">
          <Button main>Make a link</Button>
        </div>
      </Form>
      {open.length === 0 ? (
        <EmptyState words="No invitation is open. Make a link above when somebody wants to join." />
      ) : (
        <DataTable caption="Open invitations" rows={open} rowKey={({ id }) => id} columns={invitationColumns} />
      )}
    </Section>
  )
}

const invitationColumns = [
  { label: 'For whom', head: true, cell: ({ note }: Invitation) => note || 'nobody named' },
  { label: 'As', cell: ({ role }: Invitation) => role },
  { label: 'Lets in', cell: ({ usesLeft }: Invitation) => (usesLeft === 1 ? 'one more' : `${usesLeft} more`) },
  { label: 'Good until', cell: ({ expiresAt }: Invitation) => <DateWords on={expiresAt} as="both" /> },
  { label: 'Made by', cell: ({ createdBy }: Invitation) => createdBy.name },
  {
    label: 'Withdraw',
    cell: ({ id, role, note, createdBy }: Invitation) => (
      <Form action={`/members/invitations/${id}/withdraw`} id={`withdraw-${id}`} class="actions">
        <Button label={`Withdraw the invitation as ${role} by ${createdBy.name}${note && `, for ${note}`}`}>
          Withdraw
        </Button>
      </Form>
    ),
  },
]
