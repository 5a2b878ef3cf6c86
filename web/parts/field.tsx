import type { ComponentChildren } from 'preact'
import { useContext } from 'preact/hooks'
import { type FieldState, LegendContext, useField, useLabel } from './form.tsx'

/** What every field is told by the page. */
export interface FieldProps {
  /** Plain name as it is sent, with dots: `price.amount`. */
  name: string
  label: string
  hint?: ComponentChildren
  /** May be left empty, and says so; or says in these words when it may not. */
  optional?: boolean | string
}

/** Label, hint and error around one control. */
export function FieldFrame(props: FieldProps & { state: FieldState; class?: string; children: ComponentChildren }) {
  const { state, label, hint, optional, children } = props
  const isSaid = useContext(LegendContext)?.optional
  useLabel(state.id, label)
  return (
    <div class={`field ${props.class ?? ''}`.trim()}>
      <label for={state.id}>
        {label}
        {optional && !isSaid && <span class="optional"> ({optional === true ? 'optional' : optional})</span>}
      </label>
      <Hint state={state} hint={hint} />
      {children}
      <Correction state={state} />
    </div>
  )
}

/** What helps to fill a field in; belongs to its control by `aria-describedby`. */
export function Hint({ state, hint }: { state: FieldState; hint: ComponentChildren }) {
  if (!hint) return null
  return (
    <p class="hint" id={`${state.id}-hint`}>
      {hint}
    </p>
  )
}

/** On a refused form, what to mend: in italics under the box, with a caret in the margin by style. */
export function Correction({ state }: { state: FieldState }) {
  if (!state.error) return null
  return (
    <p class="field-error" id={`${state.id}-error`}>
      <span class="visually-hidden">Please correct: </span>
      {state.error}
    </p>
  )
}

/** The attributes that tie a control to its label, hint, error and kept value. */
export function controlOf({ name, optional }: FieldProps, state: FieldState) {
  return {
    id: state.id,
    name,
    required: !optional,
    'aria-describedby': state.describedBy,
    'aria-invalid': state.error ? ('true' as const) : undefined,
  }
}

export interface TextFieldProps extends FieldProps {
  type?: 'text' | 'email' | 'url' | 'search'
  autoComplete?: string
  maxLength?: number
}

/** One line of text. */
export function TextField({ type = 'text', autoComplete = 'on', maxLength, ...field }: TextFieldProps) {
  const state = useField(field.name, field.hint)
  const limit = maxLength === undefined ? {} : { maxLength }
  return (
    <FieldFrame {...field} state={state}>
      {/* `list` is spelt out since Preact's types take a type known only at run time in no other way. */}
      <input
        {...controlOf(field, state)}
        {...limit}
        type={type}
        list={undefined}
        value={state.value}
        autoComplete={autoComplete}
      />
    </FieldFrame>
  )
}

/** A password: the one value that is never sent back to the page. */
export function PasswordField({ fresh = false, ...field }: FieldProps & { fresh?: boolean }) {
  const state = useField(field.name, field.hint)
  return (
    <FieldFrame {...field} state={state}>
      <input {...controlOf(field, state)} type="password" autoComplete={fresh ? 'new-password' : 'current-password'} />
    </FieldFrame>
  )
}

/** Several lines of text. */
export function TextArea({ rows = 4, maxLength, ...field }: FieldProps & { rows?: number; maxLength?: number }) {
  const state = useField(field.name, field.hint)
  const limit = maxLength === undefined ? {} : { maxLength }
  return (
    <FieldFrame {...field} state={state}>
      <textarea {...controlOf(field, state)} rows={rows} {...limit} value={state.value} />
    </FieldFrame>
  )
}

export interface NumberFieldProps extends FieldProps {
  /** Written after the box: "mm", "ml", "copies". */
  unit?: string
  /** Whole numbers only: the phone shows digits without a point. */
  whole?: boolean
  /** Adds a "fewer" and a "more" button when scripts run, for gloved fingers. */
  steps?: boolean
}

/** A number with its unit. A text box, since a number box shows nothing of a refused "12,5 or so". */
export function NumberField({ unit, whole = false, steps = false, ...field }: NumberFieldProps) {
  const state = useField(field.name, field.hint)
  const control = controlOf(field, state)
  const unitId = unit && `${state.id}-unit`
  const described = [unitId, state.describedBy].filter(Boolean).join(' ') || undefined
  return (
    <FieldFrame {...field} state={state} class="field-number">
      <span class="with-unit">
        <input
          {...control}
          type="text"
          inputMode={whole ? 'numeric' : 'decimal'}
          autoComplete="off"
          value={state.value}
          aria-describedby={described}
          data-steps={steps ? field.label : undefined}
        />
        {unit && (
          <span class="unit" id={unitId}>
            {unit}
          </span>
        )}
      </span>
    </FieldFrame>
  )
}

/** A day, `YYYY-MM-DD`. */
export function DateField({ max, ...field }: FieldProps & { max?: string }) {
  const state = useField(field.name, field.hint)
  return (
    <FieldFrame {...field} state={state} class="field-date">
      <input {...controlOf(field, state)} type="date" value={state.value} max={max} />
    </FieldFrame>
  )
}

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
