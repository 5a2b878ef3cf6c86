import pg from 'pg'

/**
 * Takes the time of every transaction on connections that are made from here on: from the moment its `begin` is sent to
 * the answer of its `commit`.
 *
 * @returns their times in ms, oldest first; they become more with every one
 */
export function timeTransactions(): readonly number[] {
  const took: number[] = []
  const begun = new WeakMap<object, number>()
  const { query } = pg.Client.prototype
  function timed(this: object, given: unknown, ...rest: unknown[]) {
    const text = typeof given === 'string' ? given : (given as { text?: string }).text
    if (text === 'begin') begun.set(this, performance.now())
    const answer: unknown = Reflect.apply(query, this, [given, ...rest])
    const began = begun.get(this)
    if (text === 'commit' && began !== undefined && answer instanceof Promise) {
      // Whoever asked hears of a failure.
      answer.then(
        () => took.push(performance.now() - began),
        () => {},
      )
    }
    return answer
  }
  Object.assign(pg.Client.prototype, { query: timed })
  return took
}
