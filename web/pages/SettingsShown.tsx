import type { ComponentChildren } from 'preact'
import { type Hatching, Swatch } from '../parts/hatching.tsx'
import { Money, type MoneyValue } from '../parts/money.tsx'
import { useReader } from '../parts/reader.tsx'
import settingWords from '../texts/settings.json' with { type: 'json' }

type Sums = 'looksWorth' | 'resinPricePerKg' | 'perPlate' | 'cleanUp' | 'cleanUpPerPlate' | 'timePerHour'

export type ShownSettings = Record<'name' | 'currency' | 'locale' | 'timeZone', string> &
  Record<'resinGramsPerMl' | 'resinMlPerModel', number> &
  Record<Sums, MoneyValue>

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
