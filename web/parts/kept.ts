/**
 * Keeps what is made of some words, one for each: making one of Intl's formatters takes a hundred times as long as using
 * it, and a page uses a handful of them some hundred times. For words of which there are few: locales, currencies.
 */
export function kept<Words extends string[], Made>(make: (...words: Words) => Made): (...words: Words) => Made {
  const known = new Map<string, Made>()
  return (...words) => {
    const key = words.join(' ')
    const found = known.get(key) ?? make(...words)
    known.set(key, found)
    return found
  }
}

/** Keeps what was made of the words that were asked for last, so many of them: of words that there is no end of. */
export function recent<Made extends {}>(most: number): (words: string, make: () => Made) => Made {
  const known = new Map<string, Made>()
  return (words, make) => {
    const made = known.get(words) ?? make()
    // What was asked for longest ago stands first, and goes first.
    known.delete(words)
    known.set(words, made)
    const [oldest] = known.keys()
    if (known.size > most && oldest !== undefined) known.delete(oldest)
    return made
  }
}
