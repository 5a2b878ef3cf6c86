import { existsSync } from 'node:fs'

/** The same engine without windows takes two thirds of the time; CI drives the whole browser. */
const usual = ['/usr/bin/chromium-headless-shell', '/usr/bin/chromium']

/** The browser that drives the pages: what CHROMIUM names, or one of the usual ones. */
export const chromiumAt = (): string | undefined =>
  [process.env.CHROMIUM, ...usual].find((path) => path && existsSync(path))
