type Attributes = Record<string, string | number>

/** Makes an element with these attributes, and what stands in it: texts as texts, never as markup. */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...content: (string | Node)[]
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name)
  made.append(...content)
  return withAttributes(made, attributes)
}

/** Makes a button that sends no form. */
export function button(
  words: string,
  press: (pressed: HTMLButtonElement) => unknown,
  more: Attributes = {},
): HTMLButtonElement {
  const made = element('button', { type: 'button', class: 'button', ...more }, words)
  made.addEventListener('click', () => void press(made))
  return made
}

/** Makes a shape of a drawing. */
export const shape = (name: string, attributes: Attributes): SVGElement =>
  withAttributes(document.createElementNS('http://www.w3.org/2000/svg', name), attributes)

/** Gives an element these attributes. */
export function withAttributes<Given extends Element>(given: Given, attributes: Attributes): Given {
  for (const [name, value] of Object.entries(attributes)) given.setAttribute(name, String(value))
  return given
}

/** A line that is read out when its text changes. */
export const statusLine = (className: string) => element('p', { class: className, role: 'status' })
