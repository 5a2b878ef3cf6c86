/**
 * The must-haves of a request that a file lists among its options: in the same words, whatever their case and article.
 */
export function listedOf(mustHaves: readonly string[], options: readonly string[]): string[] {
  const listed = new Set(options.map(bare))
  return mustHaves.filter((one) => listed.has(bare(one)))
}

const bare = (words: string) =>
  words
    .trim()
    .toLowerCase()
    .replace(/^(an?|the) /, '')
