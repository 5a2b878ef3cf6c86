import { button, statusLine } from './element.ts'

/** A button below a field that shows a link: one press copies it. Says so where that worked, else leaves it selected. */
export function startCopy(field: HTMLTextAreaElement): void {
  if (field.nextElementSibling?.matches('button')) return
  const said = statusLine('hint')
  const press = async () => {
    field.select()
    said.textContent = (await copied(field.value)) ? 'Copied.' : 'Selected: copy it from the field.'
  }
  field.after(button('Copy the link', press), said)
}

/** Browsers copy for pages that came over TLS, or from the same machine; others may refuse. */
async function copied(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text)
    return true
  } catch {
    return false
  }
}
