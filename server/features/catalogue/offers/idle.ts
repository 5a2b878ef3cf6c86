/**
 * A form that takes an offer along without one: its state is always ticked and its currency always chosen, so without
 * any other word there is none.
 *
 * @param prefix of the offer's fields
 * @param usualKind the kind that is chosen before anybody chooses, if there is one
 */
export function withoutIdleOffer(body: Record<string, unknown>, prefix = 'offer.', usualKind?: string) {
  const idle = new Set([`${prefix}state`, `${prefix}price.currency`])
  const isIdle = ([name, value]: [string, unknown]) =>
    !name.startsWith(prefix) || !value || idle.has(name) || (name === `${prefix}kind` && value === usualKind)
  if (!Object.entries(body).every(isIdle)) return body
  return Object.fromEntries(Object.entries(body).filter(([name]) => !name.startsWith(prefix)))
}
