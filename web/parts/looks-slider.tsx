import { Button } from './button.tsx'
import { Form, fieldId } from './form.tsx'
import { moneyWords } from './money.tsx'
import { useReader } from './reader.tsx'

export interface LooksSliderProps {
  /** Page of the answers; gets `looks` in its query. */
  action: string
  /** What it is worth now, in the group's currency. */
  value: { amount: string; currency: string }
  /** The right end, as a decimal. */
  max?: string
  step?: string
  /** Id of the region that holds the ranked answers; must not contain the slider itself. */
  region: string
  /** Other choices of the page to keep, `own` for instance. */
  hidden?: Record<string, string>
}

/** What it is worth to have a model that the group would field: moves the ranking for oneself. */
export function LooksSlider({ action, value, max = '5.00', step = '0.10', region, hidden }: LooksSliderProps) {
  const { locale } = useReader()
  const id = fieldId('looks', 'looks')
  return (
    <Form class="looks-slider" id="looks" method="get" action={action} swaps={region} hidden={hidden ?? {}}>
      <label for={id}>What looks are worth to you, a model</label>
      <p class="hint" id={`${id}-hint`}>
        At nothing, the answers are ranked by cost alone; further right, what the group would field comes first.
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
