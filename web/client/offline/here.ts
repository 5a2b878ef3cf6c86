/** Who is signed in, as the page says. */
export const memberHere = () => document.documentElement.dataset.member

/** The day here, `YYYY-MM-DD`. */
export function localDay(now: Date): string {
  const two = (number: number) => String(number).padStart(2, '0')
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`
}

/** 128 random bits; `crypto.randomUUID` is there over TLS alone. */
export const newKey = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('')
