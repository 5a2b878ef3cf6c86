import { wrongSum } from '../parts/counts-words.ts'
import { button, statusLine } from './element.ts'

/**
 * The counts of a print hang together: of the copies tried, those that failed did not come out good. As long as nobody
 * has said how many came out good, it follows from what was seen on the failed ones; "All of them" says it at a tap. A
 * number that was typed stays, and what doesn't add up is said beside it.
 * Nothing is said before the member says something: a report that is sent untouched is refused. Where all came out good
 * nobody has to scroll past what failed ones look like.
 */
export function startCounts(good: HTMLInputElement): void {
  const print = good.name.slice(0, -'good'.length)
  const tried = good.form?.querySelector<HTMLInputElement>(`input[name="${print}tried"]`)
  const failures = [...(good.form?.querySelectorAll<HTMLInputElement>(`input[name^="${print}failures."]`) ?? [])]
  if (!tried) return
  let follows = good.value === ''
  let isSaid = failures.some(({ value }) => value !== '')

  const looks = failures[0]?.closest<HTMLElement>('.seen')

  const wrong = statusLine('')

  const failed = () => failures.reduce((sum, input) => sum + (wholeNumber(input) ?? 0), 0)

  function follow(): void {
    const copies = wholeNumber(tried)
    if (follows && isSaid && copies !== undefined) good.value = String(Math.max(0, copies - failed()))
    good.dataset.all = String(copies ?? 0)
    sayWhatIsWrong()
    if (looks) looks.hidden = failed() === 0 && copies !== undefined && wholeNumber(good) === copies
  }

  /** Fewer are nothing wrong: what nobody saw of the rest is not known. */
  function sayWhatIsWrong(): void {
    const [copies, came] = [wholeNumber(tried), wholeNumber(good)]
    const isTooMany = copies !== undefined && came !== undefined && came + failed() > copies
    wrong.textContent = isTooMany ? wrongSum(came, failed(), copies) : ''
    wrong.hidden = !isTooMany
    // Its field is marked only while something is wrong.
    wrong.classList.toggle('field-error', isTooMany)
  }

  function allOfThem(): void {
    // What was seen on failed ones stays for the member to take back.
    good.value = tried?.value ?? ''
    follows = failed() === 0
    isSaid = true
    follow()
    if (good.value === '') tried?.focus()
  }

  good.addEventListener('input', () => {
    follows = good.value === ''
    follow()
  })
  tried.addEventListener('input', follow)
  for (const input of failures)
    input.addEventListener('input', () => {
      isSaid = true
      follow()
    })

  follow()

  const row = good.closest('.with-unit')
  row?.append(
    button('All of them', allOfThem, { class: 'button all-of-them', 'aria-label': 'All of them came out good' }),
  )
  row?.after(wrong)
}

function wholeNumber(input: HTMLInputElement | null | undefined): number | undefined {
  const text = input?.value.trim() ?? ''
  return /^\d+$/.test(text) ? Number(text) : undefined
}
