import { Button } from '../parts/blocks.tsx'
import { Shadow } from '../parts/shadow.tsx'

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

/** Once more where that may help, else what lies nearest to the page that was asked for; and what always helps. */
function WayOn({ status, path, isReading }: Pick<Props, 'status' | 'path' | 'isReading'>) {
  const [href, words] = status >= 500 && isReading ? [path.replace(/^\/+/, '/'), 'Try again'] : nearest(status, path)
  return (
    <>
      {status >= 500 && !isReading && <p>Reload this page in a moment: {sentAgain}</p>}
      {href && !(status >= 500 && !isReading) && (
        <p>
          <a class="button button-main" href={href}>
            {words}
          </a>
        </p>
      )}
      <p>
        Back to <a href="/">the open requests</a>, or <a href="/units">look up a unit</a>.
      </p>
    </>
  )
}

const lists: Record<string, string> = {
  rosters: 'To the rosters',
  units: 'To the units',
  files: 'To the files',
  printers: 'To your printers',
  members: 'To the members',
  sculptors: 'To the sculptors',
}

/** Of these each one has a page of its own; others are read on the page of what they belong to. */
const withPages = new Set('files members offers pictures plates printers reports requests rosters units'.split(' '))

/** What may be read but not changed is itself the nearest; of what is not there, the list that it would be in. */
function nearest(status: number, path: string): [href: string, words: string] | [] {
  const [, list = '', id, change] = path.split('/')
  if (status === 403 && withPages.has(list) && id && change) return [`/${list}/${id}`, 'Look at it']
  const words = lists[list]
  return words && id ? [`/${list}`, words] : []
}

/** What is drawn beside a refusal: nobody where there is nothing, somebody else's model, or one that has fallen over. */
export function RefusedDrawing({ status }: { status: number }) {
  // A base, and on it what nobody has a file for.
  if (status === 404) return <Shadow figure={{ ...standing, shadow: null }} pxPerMm={2.2} stage="wanted" />
  if (status === 403) return <Shadow figure={{ ...standing, shadow: someone }} pxPerMm={2.2} stage="built" />
  if (status < 500) return null
  return <Shadow figure={{ ...standing, shadow: fallen }} pxPerMm={2.2} stage="printed" />
}

const standing = { base: { shape: 'round', widthMm: 32 }, scaleMm: 32 } as const

/** A body of round ends, upright or on its side, as a figure is drawn that nobody has measured. */
function capsule(widthMm: number, heightMm: number) {
  const radius = Math.min(widthMm, heightMm) / 2
  const [alongX, alongY] = [widthMm / 2 - radius, heightMm / 2 - radius]
  const ring = Array.from({ length: 40 }, (_, step): [number, number] => {
    const angle = (2 * Math.PI * (step + 0.5)) / 40
    const [x, y] = [Math.cos(angle), Math.sin(angle)]
    return [widthMm / 2 + radius * x + Math.sign(x) * alongX, heightMm / 2 + radius * y + Math.sign(y) * alongY]
  })
  return { front: [ring], widthMm, heightMm }
}
const someone = capsule(14, 32)
const fallen = capsule(32, 14)
