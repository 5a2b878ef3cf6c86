import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { openBrowser, scriptsOnPhone } from './browser.ts'
import { Cast } from './cast.ts'
import { serveDemo } from './serve.ts'

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

async function knownFor(unit: string): Promise<number> {
  const known = served.db.selectFrom('fileUnit').innerJoin('unit', 'unit.id', 'fileUnit.unitId')
  return (await known.where('unit.name', '=', unit).select('fileId').execute()).length
}

const euros = (words: string | null) => Number(words?.replace(/[^0-9.]/g, ''))

/** The answers as they stand on the page: title, what ranks it, and the sum behind it. */
async function answersOn(page: Page) {
  return page.locator('.answer').evaluateAll((answers) =>
    answers.map((answer) => {
      const texts = (selector: string) => [...answer.querySelectorAll(selector)].map((one) => one.textContent ?? '')
      return {
        title: texts('.answer-title')[0] ?? '',
        cost: texts('.answer-score .sum .money')[0] ?? '',
        looks: texts('.answer-score > small .money')[0] ?? '',
        terms: texts('.sum-table tbody tr:not(.sum-between) td .money'),
        between: texts('.sum-table .sum-between td')[0] ?? '',
        total: texts('.sum-table tfoot td')[0] ?? '',
      }
    }),
  )
}

/** Unfolds an answer; the one above is folded by that. */
async function unfold(page: Page, title: string): Promise<void> {
  const line = page.locator('.answer-line', { hasText: title })
  if (!(await line.evaluate((summary) => (summary.parentElement as HTMLDetailsElement).open))) await line.click()
}

/** Asks for ten of a unit whose name is typed wrongly, of which so many stand-ins are known. @returns the address of the request */
async function ask(page: Page, known: number, scripts: boolean): Promise<string> {
  await page.goto('/')
  await page.getByRole('main').getByRole('link', { name: 'Ask for a stand-in' }).click()
  const unit = page.getByLabel('Which unit')
  await unit.pressSequentially('fen wadens')
  if (scripts) {
    await page.getByRole('option', { name: 'Fen Wardens' }).click()
    await page.getByRole('link', { name: `${known} stand-ins known` }).waitFor()
  }
  await page.getByLabel('How many models').fill('10')
  await page.getByLabel('Must have').fill('bows\nbanner')
  await page.getByLabel('Budget (optional)').fill('25,50')
  await page.getByLabel('Needed by').fill('2026-12-01')
  await page.getByRole('button', { name: 'Post the request' }).click()
  if (!scripts) {
    await page.getByText('Which of these do you mean?').first().waitFor()
    await page.getByRole('radio', { name: 'Fen Wardens' }).check()
    await page.getByRole('button', { name: 'Post the request' }).click()
  }
  // Nothing is posted before what is known was shown; what was typed is still there.
  await page.getByRole('heading', { name: `The group knows ${known} stand-ins already` }).waitFor()
  await page.getByRole('link', { name: 'Reed Sentries' }).waitFor()
  expect(await page.getByLabel('How many models').inputValue()).toBe('10')
  expect(await page.getByLabel('Must have').inputValue()).toBe('bows\nbanner')
  expect(await page.getByLabel('Budget (optional)').inputValue()).toBe('25,50')
  await page.getByRole('button', { name: 'Post the request all the same' }).click()
  await page.getByText('Your request is posted.').waitFor()
  expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('10 Fen Wardens')
  return new URL(page.url()).pathname
}

/** Proposes a file that lists both must-haves, of which its proposer denies it one. */
async function proposeKnown(page: Page, request: string, title: string, scripts: boolean): Promise<void> {
  await page.goto(request)
  await page.getByRole('link', { name: 'Propose a file' }).click()
  await page.getByRole('radio', { name: title }).check()
  await page.getByLabel('Your remark').fill('The hoods are just right.')
  if (!scripts) {
    await page.getByRole('button', { name: 'Propose it' }).click()
    await page.getByText('so this is now ticked').first().waitFor()
  }
  expect(await page.getByRole('checkbox', { name: 'bows' }).isChecked()).toBe(true)
  await page.getByRole('checkbox', { name: 'banner' }).uncheck()
  await page.getByRole('button', { name: 'Propose it' }).click()
  await page.getByText('Your proposal is posted.').waitFor()
}

/** A file that nobody knew: its price, its supports and what is wrong with it. */
async function proposeNew(page: Page, request: string, title: string): Promise<void> {
  await page.goto(request)
  await page.getByRole('link', { name: 'Propose a file' }).click()
  await page.getByRole('link', { name: 'It is not here: propose a new file' }).click()
  await page.getByLabel('Title').fill(title)
  await page.getByLabel('Price (optional)').fill('cheap')
  await page.getByRole('button', { name: 'Propose it' }).click()
  await page.getByText('to correct before it is proposed').waitFor()
  expect(await page.getByLabel('Title').inputValue()).toBe(title)
  await page.getByLabel('Name (optional)', { exact: true }).fill('Sallow & Daughter')
  await page.getByLabel('Resin for one copy').fill('2,5')
  await page.getByLabel('Options it comes with').fill('bows')
  await page.getByRole('checkbox', { name: 'as supplied' }).check()
  await page.getByLabel('Price (optional)').fill('4.20')
  await page.getByRole('textbox', { name: 'Link' }).fill('https://sallow.example/dyke-reeves')
  await page.getByRole('button', { name: 'Propose it' }).click()
  await page.getByText('Your proposal is posted.').waitFor()
  await unfold(page, title)
  await page.getByRole('link', { name: `All about ${title}` }).click()
  await page.getByRole('link', { name: 'Note a snag' }).click()
  await page.getByLabel('What is wrong').selectOption('unsupported part')
  await page.getByLabel('Which part').fill('banner tip')
  await page.getByRole('radio', { name: 'costs time' }).check()
  await page.getByLabel('Minutes it costs').fill('15')
  await page.getByRole('button', { name: 'Keep this snag' }).click()
  await page.getByText('The snag is noted.').waitFor()
  await page.getByText('Costs 15 minutes:').waitFor()
}

async function vote(page: Page, request: string, answers: Record<string, 'Yes' | 'No'>): Promise<void> {
  await page.goto(request)
  for (const [title, answer] of Object.entries(answers)) {
    await unfold(page, title)
    await page
      .getByRole('button', { name: `${answer}, I would ${answer === 'No' ? 'not ' : ''}field it: ${title}` })
      .click()
    await page.getByText('Your vote is counted').waitFor()
  }
}

async function rankByCostAlone(page: Page, scripts: boolean): Promise<void> {
  const slider = page.getByRole('slider')
  if (!scripts) {
    await slider.fill('0')
    await page.getByRole('button', { name: 'Rank again' }).click()
  } else {
    await slider.focus()
    await slider.press('Home')
  }
  await page.waitForURL(/looks=0/)
}

describe.each(scriptsOnPhone)('asking, $how', ({ options, scripts }) => {
  test('from a typing error to a settled request', async () => {
    cast = new Cast(browser, served.url, options)
    const asker = await cast.page('asker')
    const fresh = `Dyke Reeves ${options.viewport.width}${scripts ? '' : ' plain'}`

    const request = await ask(asker, await knownFor('Fen Wardens'), scripts)
    await proposeKnown(await cast.page('ilka'), request, 'Reed Sentries', scripts)
    await proposeNew(await cast.page('printer'), request, fresh)
    for (const who of ['owner', 'steward'])
      await vote(await cast.page(who), request, { 'Reed Sentries': 'Yes', [fresh]: 'No' })

    await asker.goto(request)
    const ranked = await answersOn(asker)
    // Two in favour and none against, or the other way round: with the group's four votes beside, the shares are two
    // sixths apart, at 1.50 for each of ten models.
    expect(ranked.map(({ title }) => title)).toEqual(['Reed Sentries', fresh])
    const [liked = 0, disliked = 0] = ranked.map(({ looks }) => euros(looks))
    expect(disliked - liked).toBeCloseTo(5, 1)
    const cents = (sum: string) => Math.round(euros(sum) * 100)
    for (const { cost, looks, terms, between, total } of ranked) {
      expect(terms.length).toBeGreaterThan(3)
      expect(terms.at(-1)).toBe(looks)
      expect(terms.reduce((sum, term) => sum + cents(term), 0)).toBe(cents(total))
      expect(cents(between)).toBe(cents(cost))
      expect(cents(cost) + cents(looks)).toBe(cents(total))
    }

    await rankByCostAlone(asker, scripts)
    await expect.poll(async () => (await answersOn(asker)).map(({ title }) => title)).toEqual([fresh, 'Reed Sentries'])
    const byCost = await answersOn(asker)
    expect(byCost.map(({ cost }) => cost)).toEqual(byCost.map(({ between }) => between))
    expect(byCost.map(({ total }) => total)).toEqual(byCost.map(({ cost }) => cost))
    expect(byCost.map(({ looks }) => looks)).toEqual(['', ''])

    await unfold(asker, fresh)
    await asker.getByText(`Settle on ${fresh}`, { exact: true }).click()
    await asker.getByRole('button', { name: `Settle on this file: ${fresh}` }).click()
    await asker.getByText('Settled. Report your prints').waitFor()
    expect(await asker.locator('.outcome').textContent()).toContain(`Settled on ${fresh}`)
    expect(await asker.getByRole('button', { name: /Settle/ }).count()).toBe(0)
  })
})
