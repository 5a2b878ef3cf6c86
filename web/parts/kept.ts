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
