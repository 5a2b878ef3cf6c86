import { Button } from '../parts/blocks.tsx'

interface Props {
  status: number
  detail: string
  isSignedIn: boolean
  /** What was asked for, and whether it was only to be read. */
  path: string
  isReading: boolean
  /** A form that came too soon, with all that was typed: it can be sent once more from here. */
  again?: { action: string; fields: [name: string, value: string][] } | undefined
}

/** What a member reads instead of the page they asked for, with a way on. */
export function Refused({ status, detail, isSignedIn, path, isReading, again }: Props) {
  return (
    <>
      <p>{detail}</p>
      {again && (
        <form action={again.action} method="post">
          {again.fields.map(([name, value], index) => (
            <input key={`${name}-${index}`} type="hidden" name={name} value={value} />
          ))}
          <Button main>Send it again</Button>
        </form>
      )}
      {status === 401 && !isReading ? (
        <SignInBeside />
      ) : !isSignedIn ? (
        <p>
          <a class="button button-main" href="/sign-in">
            Sign in
          </a>
        </p>
      ) : (
        <WayOn status={status} path={path} isReading={isReading} />
      )}
    </>
  )
}

/** Going back would show an empty form: pages are not stored. */
const sentAgain = 'your browser sends what you typed again.'

/** What was typed is not read from somebody who is not signed in, so only the browser still has it. */
function SignInBeside() {
  return (
    <>
      <p>Nothing was saved. Sign in, which opens a new window; then reload this page: {sentAgain}</p>
      <p>
        <a class="button button-main" href="/sign-in" target="_blank" rel="noopener">
          Sign in
        </a>
      </p>
    </>
  )
}

/** Once more where that may help, and what always helps. */
function WayOn({ status, path, isReading }: Pick<Props, 'status' | 'path' | 'isReading'>) {
  return (
    <>
      {status >= 500 &&
        (isReading ? (
          <p>
            <a class="button button-main" href={path.replace(/^\/+/, '/')}>
              Try again
            </a>
          </p>
        ) : (
          <p>Reload this page in a moment: {sentAgain}</p>
        ))}
      <p>
        Back to <a href="/">the open requests</a>, or <a href="/units">look up a unit</a>.
      </p>
    </>
  )
}
