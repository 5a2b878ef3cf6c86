import { Button } from './blocks.tsx'
import { Form, fieldId } from './form.tsx'
import { moneyWords } from './money.tsx'
import { useReader } from './reader.tsx'

export interface LooksSliderProps {
  /** Page of the answers; gets `looks` in its query. */
  action: string
  /** What it is worth now, in the group's currency. */
  value: { amount: string; currency: string }
  /** What it is worth to the group: sets how far the slider reaches. */
  usual: { amount: string; currency: string }
  /** Id of the region that holds the ranked answers; must not contain the slider itself. */
  region: string
  /** Other choices of the page to keep, `own` for instance. */
  hidden?: Record<string, string>
}

const steps = 100

/**
 * How far the slider reaches: a round sum (1, 2 or 5 at its head) of three times or more what looks are worth to the
 * group, and never short of what the reader has chosen.
 *
 * @returns decimals with the digits of the currency
 */
export function sliderRange(usual: { amount: string }, value: { amount: string }): { max: string; step: string } {
  const digits = usual.amount.split('.')[1]?.length ?? 0
  const least = 3 * Number(usual.amount) || 5 * 10 ** (2 - digits)
  const size = 10 ** Math.floor(Math.log10(least))
  const round = [1, 2, 5, 10].map((head) => head * size).find((sum) => sum >= least) ?? least
  const max = Math.max(round, Number(value.amount))
  return { max: max.toFixed(digits), step: Math.max(round / steps, 10 ** -digits).toFixed(digits) }
}

/** What it is worth to have a model that the group would field: moves the ranking for oneself. */
export function LooksSlider({ action, value, usual, region, hidden }: LooksSliderProps) {
  const { locale } = useReader()
  const { max, step } = sliderRange(usual, value)
  const id = fieldId('looks', 'looks')
  return (
    <Form class="looks-slider" id="looks" method="get" action={action} swaps={region} hidden={hidden ?? {}}>
      <label for={id}>What looks are worth to you, a model</label>
      <p class="hint" id={`${id}-hint`}>
        At zero, answers are ranked by cost alone; further right, what the group would field moves up.
      </p>
      <div class="looks-row">
        <input
          id={id}
          type="range"
          name="looks"
          min="0"
          max={max}
          step={step}
          value={value.amount}
          aria-describedby={`${id}-hint`}
          data-money={value.currency}
          data-locale={locale}
          data-digits={value.amount.split('.')[1]?.length ?? 0}
        />
        <output class="money" for={id}>
          {moneyWords(value, locale)}
        </output>
        <Button>Rank again</Button>
      </div>
    </Form>
  )
}
