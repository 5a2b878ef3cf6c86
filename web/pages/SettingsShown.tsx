import type { ComponentChildren } from 'preact'
import { type Hatching, Swatch } from '../parts/hatching.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { useReader } from '../parts/reader.tsx'

type Sums = 'looksWorth' | 'resinPricePerKg' | 'perPlate' | 'cleanUp' | 'cleanUpPerPlate' | 'timePerHour'

export type ShownSettings = Record<'name' | 'currency' | 'locale' | 'timeZone', string> &
  Record<'resinGramsPerMl' | 'resinMlPerModel', number> &
  Record<Sums, MoneyValue>

/** What every number is called, what it does to the ranking and what it starts from. */
export const settingWords = {
  looksWorth: {
    label: 'Worth of looks, a model',
    hint: 'For each model that the group would field. Higher: what the group likes moves up, even where it costs more. At 0 cost alone decides. Starts at 1.00.',
  },
  resinPricePerKg: {
    label: 'Resin, a kilogram',
    hint: 'Higher: large models and files that fail often move down. Starts at 35.00.',
  },
  resinGramsPerMl: {
    label: 'Weight of resin',
    hint: 'Turns the millilitres of a file into kilograms to pay for. The bottle or its data sheet says it. Starts at 1.1.',
  },
  resinMlPerModel: {
    label: 'Resin for a model, supports included',
    hint: 'Used only for files whose own figure nobody has entered. Starts at 10, about a foot soldier of 32 mm.',
  },
  perPlate: {
    label: 'A plate',
    hint: 'Its share of a film, gloves, alcohol, power. Higher: large models that fill plates alone move down. Starts at 1.00.',
  },
  cleanUp: {
    label: 'Clean-up, a failed copy',
    hint: 'Wipes, alcohol, time; its resin and its place on another plate are counted apart. Higher: files that fail often move down. Starts at 0.50.',
  },
  cleanUpPerPlate: {
    label: 'Clean-up, a failed plate',
    hint: 'Emptying and filtering the vat, looking after the film, however many copies failed. Higher: files that fail often move down. Starts at 1.00.',
  },
  timePerHour: {
    label: 'An hour at the bench',
    hint: 'Counts the minutes at the bench that open snags cost. At 0, where it starts, snags that only cost time change nothing.',
  },
}

/** A setting in a sentence, with the filling of the term that it counts in. */
interface Said {
  key: keyof typeof settingWords
  kind: Hatching
  words: (value: ComponentChildren) => ComponentChildren
}

const said: Said[] = [
  {
    key: 'looksWorth',
    kind: 'looks',
    words: (value) => <>A model that the group would field is worth {value} more than one that it would not.</>,
  },
  { key: 'resinPricePerKg', kind: 'resin', words: (value) => <>A kilogram of resin costs {value}.</> },
  { key: 'resinGramsPerMl', kind: 'resin', words: (value) => <>A millilitre of resin weighs {value}.</> },
  {
    key: 'resinMlPerModel',
    kind: 'resin',
    words: (value) => <>A model takes {value}, supports included, where nobody knows better.</>,
  },
  { key: 'perPlate', kind: 'plates', words: (value) => <>A plate costs {value} besides its resin.</> },
  { key: 'cleanUp', kind: 'failures', words: (value) => <>A failed copy costs {value} to clean up after.</> },
  {
    key: 'cleanUpPerPlate',
    kind: 'failures',
    words: (value) => <>A plate on which anything failed costs {value} more.</>,
  },
  { key: 'timePerHour', kind: 'snags', words: (value) => <>An hour at the bench is worth {value}.</> },
]

/** The group's numbers for whoever may only read them, a sentence each. */
export function SettingsShown({ settings }: { settings: ShownSettings }) {
  const { locale } = useReader()
  const number = new Intl.NumberFormat(locale, { maximumFractionDigits: 3 })
  const told = (key: Said['key']) => {
    if (key === 'resinGramsPerMl') return `${number.format(settings[key])} g`
    if (key === 'resinMlPerModel') return `${number.format(settings[key])} ml`
    return <Money value={settings[key]} />
  }
  return (
    <div class="stack">
      <p>
        {settings.name} counts in {settings.currency} and goes by the clock of {settings.timeZone}. Everything that is
        ranked goes by these numbers, which <a href="/members">stewards</a> change.
      </p>
      <ul class="settings">
        {said.map(({ key, kind, words }) => (
          <li key={key}>
            <Swatch kind={kind} />
            <p>
              {words(<strong class="sum">{told(key)}</strong>)}
              <small>{settingWords[key].hint}</small>
            </p>
          </li>
        ))}
      </ul>
    </div>
  )
}
