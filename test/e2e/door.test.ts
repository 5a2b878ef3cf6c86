import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { freshDatabase } from '../support/database.ts'
import { desk, openBrowser, phone, scriptsAtDesk } from './browser.ts'
import { Cast } from './cast.ts'
import { faultsOf } from './look.ts'
import { serve, serveDemo } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let cast: Cast

beforeAll(async () => {
  served = await serveDemo()
  browser = await openBrowser()
})
afterEach(() => cast.leave())
afterAll(async () => {
  await served?.close()
})

async function signIn(page: Page, email: string, password: string): Promise<void> {
  await page.getByLabel('E-mail address').fill(email)
  await page.getByLabel('Password').fill(password)
  await page.getByRole('main').getByRole('button', { name: 'Sign in' }).click()
}

/** The way out stands behind one's own name, which opens without scripts. */
async function signOut(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name, exact: true }).click()
  await page.getByRole('button', { name: 'Sign out', exact: true }).click()
  await page.getByText('You are signed out.').waitFor()
}

describe.each(scriptsAtDesk)('the door, $how', ({ options, scripts }) => {
  test('a steward invites, a newcomer joins, changes the password, goes out and comes in again', async () => {
    cast = new Cast(browser, served.url, options)
    const email = `linnet-${options.viewport.width}-${scripts}@post.example`
    // No two members have the same name.
    const name = scripts ? 'Linnet' : 'Dunnock'
    const steward = await cast.page('steward')
    await steward.goto('/members')
    await steward.getByLabel('For how many people').fill('1')
    await steward.getByRole('button', { name: 'Make a link' }).click()
    const link = await steward.getByLabel('Link to the invitation').inputValue()
    const copy = steward.getByRole('button', { name: 'Copy the link' })
    if (scripts) {
      await steward.context().grantPermissions(['clipboard-read', 'clipboard-write'])
      await copy.click()
      await steward.getByText('Copied.').waitFor()
      expect(await steward.evaluate(() => navigator.clipboard.readText())).toBe(link)
    } else expect(await copy.count()).toBe(0)

    const newcomer = await cast.stranger()
    await newcomer.goto(link)
    await newcomer.getByText('Tobiah invites you as a member.').waitFor()
    await newcomer.getByLabel('Your name in the group').fill(name)
    await newcomer.getByLabel('Your e-mail address').fill(email)
    await newcomer.getByLabel('A password').fill('too short')
    await newcomer.getByRole('button', { name: 'Join' }).click()
    await newcomer.getByText('to correct before you can join').waitFor()
    expect(await newcomer.getByLabel('Your name in the group').inputValue()).toBe(name)
    expect(await newcomer.getByLabel('Your e-mail address').inputValue()).toBe(email)
    await newcomer.getByLabel('A password').fill('seven reed boats')
    await newcomer.getByRole('button', { name: 'Join' }).click()
    await newcomer.getByText('Welcome to the group.').waitFor()

    await newcomer.goto('/me')
    await newcomer.getByText('Change your password', { exact: true }).click()
    await newcomer.getByLabel('Your present password').fill('seven reed boats')
    await newcomer.getByLabel('The new one').fill('eight reed boats')
    await newcomer.getByRole('button', { name: 'Change the password' }).click()
    await newcomer.getByText('Your password is changed').waitFor()
    await signOut(newcomer, name)

    // Whoever follows a link first signs in, and then is where the link leads.
    await newcomer.goto('/units?q=gaper')
    await signIn(newcomer, email, 'seven reed boats')
    await newcomer.getByText('or the password is wrong').first().waitFor()
    expect(await newcomer.getByLabel('E-mail address').inputValue()).toBe(email)
    await newcomer.getByLabel('Password').fill('eight reed boats')
    await newcomer.getByRole('main').getByRole('button', { name: 'Sign in' }).click()
    await newcomer.getByRole('link', { name: 'Polder Gaper' }).waitFor()
    expect(new URL(newcomer.url()).pathname + new URL(newcomer.url()).search).toBe('/units?q=gaper')
  })
})

test.each([phone, desk])('at $width px the head of the sign-in page stands over its form', async (viewport) => {
  cast = new Cast(browser, served.url, { viewport })
  const page = await cast.stranger()
  await page.goto('/sign-in')
  const edges = async (selector: string) => {
    const box = await page.locator(selector).first().boundingBox()
    return box && { left: Math.round(box.x), right: Math.round(box.x + box.width) }
  }
  const [name, form] = [await edges('.masthead-name a'), await edges('main form')]
  expect((await edges('.page-head h1'))?.left).toBe(form?.left)
  // The group's name begins and the button ends where the frame of the page does; on a wide one the margin lies between.
  const [frame, margin] = await page.locator('.page-foot').evaluate((foot) => {
    const { left, right } = foot.getBoundingClientRect()
    const { paddingLeft, paddingRight } = getComputedStyle(foot)
    const main = getComputedStyle(document.querySelector('main') as HTMLElement).paddingLeft
    return [
      {
        left: Math.round(left + Number.parseFloat(paddingLeft)),
        right: Math.round(right - Number.parseFloat(paddingRight)),
      },
      Math.round(Number.parseFloat(main) - Number.parseFloat(paddingLeft)),
    ] as const
  })
  expect(name?.left).toBe(frame.left)
  expect((form?.left ?? 0) - frame.left).toBe(margin)
  expect((await edges('.masthead-sign-in'))?.right).toBe(frame.right)
})

describe.each([{ options: { viewport: phone, javaScriptEnabled: false } }, { options: { viewport: desk } }])(
  'an empty installation at $options.viewport.width px',
  ({ options }) => {
    test('leads to the one page that sets it up', async () => {
      const empty = await freshDatabase()
      const bare = await serve(empty.db)
      try {
        cast = new Cast(browser, bare.url, options)
        const page = await cast.stranger()
        await page.goto('/')
        expect(new URL(page.url()).pathname).toBe('/setup')
        if (!('javaScriptEnabled' in options)) expect(await faultsOf(page)).toEqual([])
        await page.getByLabel('Name of the group').fill('The Tuesday Trestle')
        await page.getByLabel('Currency').selectOption('JPY')
        await page.getByLabel('Your name in the group').fill('Odile')
        await page.getByLabel('Your e-mail address').fill('odile')
        await page.getByLabel('A password').fill('nine paper lanterns')
        await page.getByRole('button', { name: 'Set up the group' }).click()
        await page.getByText('to correct before the group is set up').waitFor()
        expect(await page.getByLabel('Name of the group').inputValue()).toBe('The Tuesday Trestle')
        expect(await page.getByLabel('Currency').inputValue()).toBe('JPY')
        await page.getByLabel('Your e-mail address').fill('odile@post.example')
        await page.getByLabel('A password').fill('nine paper lanterns')
        await page.getByRole('button', { name: 'Set up the group' }).click()
        await page.getByText('The group is set up and you are its owner.').waitFor()
        await page.getByText('Nothing is asked for just now.').waitFor()
        // Every page of an empty group says what to do.
        for (const address of [
          '/',
          '/units',
          '/files',
          '/sculptors',
          '/printers',
          '/archive',
          '/members',
          '/reports/new',
        ]) {
          await page.goto(address)
          expect(
            await page.locator('main').getByRole('link').or(page.locator('main form')).count(),
            address,
          ).toBeGreaterThan(0)
          if (!('javaScriptEnabled' in options)) expect(await faultsOf(page), address).toEqual([])
        }
      } finally {
        await bare.close()
        await empty.close()
      }
    })
  },
)
