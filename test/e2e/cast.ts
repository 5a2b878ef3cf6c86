import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { expect } from 'vitest'
import { signInAs, type Visit, visit } from './browser.ts'

/** Members of the demo group, each at a browser of their own; made when first asked for. */
export class Cast {
  readonly browser: Browser
  readonly url: string
  readonly options: BrowserContextOptions
  readonly visits = new Map<string, Visit>()

  constructor(browser: Browser, url: string, options: BrowserContextOptions = {}) {
    this.browser = browser
    this.url = url
    this.options = options
  }

  /** @param who before `@demo.example`; signed in already, on no page yet */
  async page(who: string): Promise<Page> {
    const known = this.visits.get(who)
    if (known) return known.page
    const made = await this.stranger(who)
    await signInAs(made, this.url, who)
    return made
  }

  /** Somebody whom the service doesn't know. */
  async stranger(name = 'stranger'): Promise<Page> {
    const made = await visit(this.browser, this.url, this.options)
    this.visits.set(name, made)
    return made.page
  }

  /** Sends everybody home, and holds the pages to what their browsers complained of. */
  async leave(): Promise<void> {
    const complaints = [...this.visits.values()].flatMap((one) => one.complaints)
    for (const { page } of this.visits.values()) await page.context().close()
    this.visits.clear()
    expect(complaints).toEqual([])
  }
}
