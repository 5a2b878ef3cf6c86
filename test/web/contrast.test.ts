import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'

const tokens = readFileSync(new URL('../../web/styles/tokens.css', import.meta.url), 'utf8')
const [lightText = '', darkText = ''] = tokens.split('@media (prefers-color-scheme: dark)')
const light = coloursOf(lightText)
const schemes = { light, dark: { ...light, ...coloursOf(darkText) } }

function coloursOf(css: string): Record<string, string> {
  return Object.fromEntries([...css.matchAll(/--([\w-]+):\s*(#[0-9a-f]{6});/g)].map(([, name, hex]) => [name, hex]))
}

/** Relative luminance, WCAG 2.2, definitions: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance */
function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/** Contrast ratio, WCAG 2.2: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio */
function contrast(one: string, other: string): number {
  const [dark = 0, bright = 0] = [luminance(one), luminance(other)].toSorted((a, b) => a - b)
  return (bright + 0.05) / (dark + 0.05)
}

test('the formula gives what is published', () => {
  // 21:1 follows from the definition; 4.54 for #767676 on white is from memory, widely quoted as the lightest grey that passes.
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10)
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2)
})

// Success criterion 1.4.3: text 4.5:1. Success criterion 1.4.11: edges of controls and graphics 3:1.
const grounds = ['paper', 'sheet', 'wash']
const text = grounds.flatMap((ground) => ['ink', 'ink-soft', 'press', 'wrong'].map((ink) => [ink, ground] as const))
const edges = [
  ...['paper', 'sheet'].flatMap((ground) => ['edge', 'focus'].map((ink) => [ink, ground] as const)),
  ...['paper', 'sheet'].flatMap((ground) => ['shadow', 'fill-price'].map((ink) => [ink, ground] as const)),
  ['stroke-press', 'fill-plain'],
  ['stroke-wrong', 'fill-plain'],
  ['stroke-ink', 'fill-plain'],
  ['shadow', 'shadow-printed'],
] as const

describe.each(Object.entries(schemes))('%s', (_, colours) => {
  const ratio = (ink: string, ground: string) => {
    const pair = [colours[ink], colours[ground]]
    if (pair[0] === undefined || pair[1] === undefined) throw new Error(`no such colour: ${ink} or ${ground}`)
    return contrast(pair[0], pair[1])
  }

  test.each([...text, ['press-words', 'press'] as const])('%s on %s is read with ease', (ink, ground) => {
    expect(ratio(ink, ground)).toBeGreaterThanOrEqual(4.5)
  })

  test.each(edges)('%s on %s is seen', (ink, ground) => {
    expect(ratio(ink, ground)).toBeGreaterThanOrEqual(3)
  })
})
