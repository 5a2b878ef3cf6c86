import { Button } from '../parts/button.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { Form } from '../parts/form.tsx'
import { Section } from '../parts/section.tsx'

interface Session {
  id: string
  signedInAt: string
  lastUsedAt: string
  from: string | null
  browser: string | null
  isCurrent: boolean
}

interface Props {
  sessions: Session[]
  hidden: Record<string, string>
}

/** Where one is signed in, to be ended one by one or all but this. */
export function AccountSessions({ sessions, hidden }: Props) {
  return (
    <Section heading="Where you are signed in" id="sessions">
      <p>
        Don't know one of these? Sign it out and change your password. A browser says itself what it is, so the name is
        no proof.
      </p>
      <DataTable
        caption="Where you are signed in"
        captionHidden
        rows={sessions}
        rowKey={({ id }) => id}
        columns={columns}
      />
      {sessions.length > 1 && (
        <Form action="/me/sign-out-others" id="others" class="actions" hidden={hidden}>
          <Button>Sign out everywhere else</Button>
        </Form>
      )}
    </Section>
  )
}

const nameOf = ({ browser }: Session) => browser ?? 'a browser that was not noted'

const columns = [
  { label: 'Browser', head: true, cell: nameOf },
  { label: 'Signed in', cell: ({ signedInAt }: Session) => <DateWords on={signedInAt} /> },
  { label: 'Last used', cell: ({ lastUsedAt }: Session) => <DateWords on={lastUsedAt} as="distance" /> },
  { label: 'From the address', cell: ({ from }: Session) => from ?? 'not noted' },
  {
    label: 'Sign out',
    cell: (session: Session) =>
      session.isCurrent ? (
        'this one'
      ) : (
        <Form action={`/me/sessions/${session.id}/end`} id={`end-${session.id}`} class="actions">
          <Button label={`Sign out ${nameOf(session)}`}>Sign out</Button>
        </Form>
      ),
  },
]
