interface Props {
  status: number
  detail: string
  isSignedIn: boolean
}

/** What a member reads instead of the page they asked for, with a way on. */
export function Refused({ status, detail, isSignedIn }: Props) {
  return (
    <>
      <p>{detail}</p>
      {status === 401 || !isSignedIn ? (
        <p>
          <a href="/sign-in">Sign in</a>
        </p>
      ) : (
        <p>
          <a href="/">To the open requests</a>, or <a href="/units">look a unit up</a>.
        </p>
      )}
    </>
  )
}
