import { Button } from '../parts/button.tsx'
import { Shadow } from '../parts/shadow.tsx'

interface Props {
  status: number
  detail: string
  isSignedIn: boolean
  /** A form that came too soon, with all that was typed: it can be sent once more from here. */
  again?: { action: string; fields: [name: string, value: string][] } | undefined
}

/** What a member reads instead of the page they asked for, with a way on. */
export function Refused({ status, detail, isSignedIn, again }: Props) {
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
      {status === 401 || !isSignedIn ? (
        <p>
          <a href="/sign-in">Sign in</a>
        </p>
      ) : (
        <p>
          Back to <a href="/">the open requests</a>, or <a href="/units">look up a unit</a>.
        </p>
      )}
    </>
  )
}

/** Where there is no such thing: a base, and on it what nobody has a file for. */
export function NobodyHere() {
  return (
    <Shadow
      figure={{ shadow: null, base: { shape: 'round', widthMm: 32 }, scaleMm: 32 }}
      pxPerMm={2.2}
      stage="wanted"
    />
  )
}
