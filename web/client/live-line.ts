/** A line that is read out when its text changes, seen by nobody. */
export function liveLine(): HTMLElement {
  const line = document.createElement('p')
  line.className = 'visually-hidden'
  line.setAttribute('role', 'status')
  return line
}
