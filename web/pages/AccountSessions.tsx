import { Section } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { DateWords } from '../parts/date-words.tsx'

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
