import { existsSync } from 'node:fs'

/** A shell without windows loads a page at half the work of a whole Chromium. */
const usual = ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium']

/** The browser that drives the pages: what CHROMIUM names, or one of the usual ones. */
export const chromiumAt = (): string | undefined =>
  [process.env.CHROMIUM, ...usual].find((path) => path && existsSync(path))
