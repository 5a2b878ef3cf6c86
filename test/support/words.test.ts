import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'

test('the list of words that the spelling does not know is sorted, in small letters, and says nothing twice', () => {
  const words = readFileSync('words.txt', 'utf8').trimEnd().split('\n')
  expect(words).toEqual([...new Set(words.map((word) => word.toLowerCase()))].sort())
})
