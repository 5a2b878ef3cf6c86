/** The first that fits counts: most say that they are others as well. */
const families: [RegExp, string][] = [
  [/\bEdg(e|A|iOS)?\//, 'Edge'],
  [/\bOPR\//, 'Opera'],
  [/\bSamsungBrowser\//, 'Samsung Internet'],
  [/\b(Firefox|FxiOS)\//, 'Firefox'],
  [/\b(Chrome|Chromium|CriOS)\//, 'Chrome'],
  [/\bVersion\/.*\bSafari\//, 'Safari'],
]

const systems: [RegExp, string][] = [
  [/\bAndroid\b/, 'Android'],
  [/\biPhone\b/, 'an iPhone'],
  [/\biPad\b/, 'an iPad'],
  [/\bWindows\b/, 'Windows'],
  [/\bMacintosh\b/, 'a Mac'],
  [/\bCrOS\b/, 'ChromeOS'],
  [/\bLinux\b/, 'Linux'],
]

/**
 * Which browser it says it is, in words for its owner to recognise it by. Anybody can send anything: it proves nothing.
 *
 * @param agent the header User-Agent
 * @returns such as "Firefox on Linux"; "a program, or a browser that doesn't say" where it is none of those
 */
export function browserWords(agent: string | undefined): string {
  const said = (agent ?? '').slice(0, 500)
  const nameIn = (table: [RegExp, string][]) => table.find(([sign]) => sign.test(said))?.[1]
  const family = nameIn(families)
  if (!family) return "a program, or a browser that doesn't say"
  const system = nameIn(systems)
  return system ? `${family} on ${system}` : family
}
