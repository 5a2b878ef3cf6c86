import { controlOf, FieldFrame, type FieldProps } from './field.tsx'
import { useField, useLabel } from './form.tsx'

/**
 * A sum of money: sends `<name>.amount` and `<name>.currency`. An error at `<name>` or `<name>.amount` is shown at it.
 *
 * @param currencies ISO 4217 codes to choose from, the usual one first; a single one is not asked for
 */
export function MoneyField({ currencies, ...field }: FieldProps & { currencies: [string, ...string[]] }) {
  const amount = { ...field, name: `${field.name}.amount` }
  const currency = useField(`${field.name}.currency`)
  const whole = useField(field.name, field.hint)
  const part = useField(amount.name, field.hint)
  useLabel(whole.id, field.label)
  useLabel(currency.id, field.label)
  const error = part.error ?? whole.error ?? currency.error
  const state = { ...part, error, describedBy: describe(part.id, field.hint, error) }
  const chosen = currency.value || currencies[0]
  return (
    <FieldFrame {...amount} state={state} class="field-money">
      {/* An error of the sum as a whole is linked by the sum's own id. */}
      <span class="with-unit" id={whole.id}>
        <input {...controlOf(amount, state)} type="text" inputMode="decimal" autoComplete="off" value={state.value} />
        {currencies.length === 1 ? (
          <>
            <span class="unit">{chosen}</span>
            <input type="hidden" name={`${field.name}.currency`} value={chosen} />
          </>
        ) : (
          <select id={currency.id} name={`${field.name}.currency`} aria-label={`${field.label}: currency`}>
            {currencies.map((code) => (
              <option key={code} selected={code === chosen}>
                {code}
              </option>
            ))}
          </select>
        )}
      </span>
    </FieldFrame>
  )
}

function describe(id: string, hint: unknown, error: string | undefined): string | undefined {
  return [hint ? `${id}-hint` : '', error ? `${id}-error` : ''].filter(Boolean).join(' ') || undefined
}
