interface Props {
  /** Those that want a look, with the reason. */
  printers: { id: string; name: string; look: { words: string } }[]
}

/** Before the next plate: a printer that wants a look, and why. */
export function PrinterWarning({ printers }: Props) {
  return (
    <ul class="printer-warning">
      {printers.map(({ id, name, look }) => (
        <li key={id} class="hurdle">
          <a href={`/printers/${id}`}>{name}</a> wants a look first. {look.words}
        </li>
      ))}
    </ul>
  )
}
