import { existsSync } from 'node:fs'

/** A shell without windows does where there is no whole Chromium. */
const usual = ['/usr/bin/chromium', '/usr/bin/chromium-headless-shell']

/** The browser that drives the pages: what CHROMIUM names, or one of the usual ones. */
export const chromiumAt = (): string | undefined =>
  [process.env.CHROMIUM, ...usual].find((path) => path && existsSync(path))
