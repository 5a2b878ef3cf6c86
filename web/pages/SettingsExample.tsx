import { CostBar } from '../parts/cost-bar.tsx'
import { failingWords } from '../parts/failing-words.ts'
import { fieldId } from '../parts/form.tsx'
import { type Hatching, Swatch } from '../parts/hatching.tsx'
import { Money, type MoneyValue, SumTable } from '../parts/money.tsx'
import { countedHundredths } from '../parts/numbers.ts'
import settingWords from '../texts/settings.json' with { type: 'json' }

type Sums = Record<'resin' | 'plates' | 'failures' | 'snags' | 'looks' | 'total', MoneyValue>

export interface CountedExample extends Sums {
  wanted: number
  /** Copies to a plate. */
  onPlate: number
  snagMinutes: number
  /** Share of the group that would rather not field it; 0 to 1, as is the next. */
  notFielding: number
  comesOut: number
  expectedFailures: number
  /** How much more the total would be with that setting a fifth higher. */
  more: { setting: string; more: MoneyValue }[]
}

interface Props {
  example: CountedExample
  mayChange: boolean
}

/** What the settings come to, in money: a sum written out, and what each of them moves it by. */
export function SettingsExample({ example, mayChange }: Props) {
  const { wanted, onPlate, snagMinutes, notFielding, comesOut, expectedFailures, total } = example
  const breakdown = {
    price: '0',
    resinForGood: example.resin.amount,
    plates: example.plates.amount,
    failures: example.failures.amount,
    snagTime: example.snags.amount,
    looks: example.looks.amount,
  }
  const term = (kind: keyof Omit<Sums, 'total'>, words: string, note?: string) => ({
    words: drawn(kind, words),
    note,
    value: example[kind],
  })
  const terms = [
    term('resin', 'resin'),
    term('plates', 'plates', `${Math.ceil(wanted / onPlate)}, with ${onPlate} copies to each`),
    term('failures', 'expected failures', failingWords(wanted, comesOut, expectedFailures)),
    term('snags', 'time for snags', `${snagMinutes} minutes`),
    term('looks', 'looks', `${countedHundredths(notFielding)} of 100 wouldn’t field it`),
  ]
  const moving = example.more.filter(({ more }) => !isNothing(more))
  return (
    <div class="stack">
      <CostBar breakdown={breakdown} currency={total.currency} />
      <SumTable
        caption={`${wanted} models by these settings, the price of their file aside`}
        terms={terms.filter(({ value }) => !isNothing(value))}
        total={{ words: 'ranked by', value: total }}
      />
      {moving.length > 0 && (
        <div>
          <h2 id="moves" class="side-heading">
            A fifth more of one of them adds
          </h2>
          <ul class="side-lines moves" aria-labelledby="moves">
            {moving.map(({ setting, more }) => (
              <li key={setting}>
                <Setting name={setting} isField={mayChange} /> <Money value={more} />
              </li>
            ))}
          </ul>
        </div>
      )}
      <p class="quiet">
        A made-up file that nobody has printed yet, on a machine in good order, plates about full (common practice, no
        source).{mayChange && ' It uses the saved numbers, not what you are typing.'}
      </p>
    </div>
  )
}

const isNothing = ({ amount }: MoneyValue) => Number(amount) === 0

const drawn = (kind: Hatching, words: string) => (
  <>
    <Swatch kind={kind} /> {words}
  </>
)

const isSetting = (name: string): name is keyof typeof settingWords => Object.hasOwn(settingWords, name)

/** What the page calls a setting; where it can be changed, the way to its field. */
function Setting({ name, isField }: { name: string; isField: boolean }) {
  const words = isSetting(name) ? settingWords[name].label : name
  if (!isField) return <span>{words}</span>
  const field = name === 'resinGramsPerMl' || name === 'resinMlPerModel' ? name : `${name}.amount`
  return <a href={`#${fieldId('form', field)}`}>{words}</a>
}
