import type { ComponentChildren } from 'preact'
import type { Base } from './base.ts'
import { Correction, controlOf, FieldFrame, type FieldProps, Hint, NumberField } from './field.tsx'
import { type FieldState, LegendContext, useField, useLabel } from './form.tsx'
import { type FigureSize, Shadow, scaleFor } from './shadow.tsx'

export interface Option {
  value: string
  label: string
  /** A second, quieter line. */
  note?: ComponentChildren
  /** Drawn before the words. */
  drawing?: ComponentChildren
  /** What the script ticks in the same form along with it (client/ticks.ts). */
  ticks?: string[]
}

/** What is sent as it reads is its words alone. */
type Choosable = Option | string

const optionOf = (one: Choosable): Option => (typeof one === 'string' ? { value: one, label: one } : one)

/** Things to choose from by their names. */
export const byName = (things: { id: string; name: string }[]): Option[] =>
  things.map(({ id, name }) => ({ value: id, label: name }))

interface SelectProps extends FieldProps {
  options: readonly Choosable[]
  /** Words for "nothing chosen"; without them the first option is chosen. */
  empty?: string
}

/** One of many, from a list that folds. */
export function SelectField({ options, empty, ...field }: SelectProps) {
  const state = useField(field.name, field.hint)
  return (
    <FieldFrame {...field} state={state} class="field-select">
      <select {...controlOf(field, state)}>
        {empty !== undefined && <option value="">{empty}</option>}
        {options.map(optionOf).map(({ value, label }) => (
          <option key={value} value={value} selected={value === state.value}>
            {label}
          </option>
        ))}
      </select>
    </FieldFrame>
  )
}

interface GroupProps extends FieldProps {
  optional?: boolean
  options: readonly Choosable[]
  /** Large areas to press, for a phone and gloves. */
  big?: boolean
}

/** One of a few, all in sight. */
export function RadioGroup(props: GroupProps) {
  return <ChoiceGroup {...props} type="radio" />
}

/** Any of a few. Sent once per ticked box under the same name. */
export function CheckboxGroup(props: GroupProps) {
  return <ChoiceGroup {...props} type="checkbox" />
}

function ChoiceGroup({ options, big, type, ...field }: GroupProps & { type: 'radio' | 'checkbox' }) {
  const state = useField(field.name, field.hint)
  useLabel(state.id, field.label)
  return (
    <FieldGroup legend={field.label} optional={field.optional ?? false} hint={field.hint} state={state}>
      <div class={big ? 'choices choices-big' : 'choices'}>
        {options.map(optionOf).map((option, index) => (
          <Choice
            key={option.value}
            type={type}
            id={index === 0 ? state.id : `${state.id}-${index}`}
            name={field.name}
            option={option}
            checked={state.values.includes(option.value)}
          />
        ))}
      </div>
    </FieldGroup>
  )
}

/** A single box to tick; sends `value`, "true" if left out. */
export function Checkbox({ value = 'true', ...field }: Omit<FieldProps, 'optional'> & { value?: string }) {
  const state = useField(field.name, field.hint)
  useLabel(state.id, field.label)
  return (
    <div class="field">
      <Choice
        type="checkbox"
        id={state.id}
        name={field.name}
        option={{ value, label: field.label }}
        checked={state.values.includes(value)}
        describedBy={state.describedBy}
      />
      <Hint state={state} hint={field.hint} />
      <Correction state={state} />
    </div>
  )
}

interface ChoiceProps {
  type: 'radio' | 'checkbox'
  id: string
  name: string
  option: Option
  checked: boolean
  describedBy?: string | undefined
}

function Choice({ type, id, name, option, checked, describedBy }: ChoiceProps) {
  return (
    <label class="choice" for={id}>
      <input
        type={type}
        id={id}
        name={name}
        value={option.value}
        checked={checked}
        aria-describedby={describedBy}
        data-ticks={option.ticks && JSON.stringify(option.ticks)}
      />
      {option.drawing && <span class="choice-drawing">{option.drawing}</span>}
      <span class="choice-words">
        {option.label}
        {option.note && <small>{option.note}</small>}
      </span>
    </label>
  )
}

interface FieldGroupProps {
  legend: string
  hint?: ComponentChildren
  optional?: boolean
  /** Left out where the group is only a heading over fields that have errors of their own. */
  state?: FieldState
  children: ComponentChildren
}

/** Fields or choices that belong together under one legend. */
export function FieldGroup({ legend, hint, optional, state, children }: FieldGroupProps) {
  return (
    <fieldset class="field" aria-describedby={state?.describedBy}>
      <legend>
        {legend}
        {optional && <span class="optional"> (optional)</span>}
      </legend>
      {state ? <Hint state={state} hint={hint} /> : hint && <p class="hint">{hint}</p>}
      <LegendContext.Provider value={state ? null : { words: legend, optional: optional ?? false }}>
        {children}
      </LegendContext.Provider>
      {state && <Correction state={state} />}
    </fieldset>
  )
}

const shapes = ['round', 'oval', 'rectangle']

/** The base of a unit or file, as far as it is known. @param prefix of the names of the fields */
export function BaseFields({ prefix }: { prefix: string }) {
  return (
    <FieldGroup legend="Base" optional>
      <SelectField optional empty="not known" name={`${prefix}base.shape`} label="Shape" options={shapes} />
      <div class="fields-beside">
        <NumberField optional name={`${prefix}base.widthMm`} label="Width" unit="mm" hint="Of a round base: across." />
        <NumberField
          optional
          name={`${prefix}base.lengthMm`}
          label="Length"
          unit="mm"
          hint="Oval and rectangle only."
        />
      </div>
    </FieldGroup>
  )
}

export interface Drawn {
  id: string
  name: string
  note?: ComponentChildren
  /** Null for what has no size. */
  figure: FigureSize | null
}

const room = { heightPx: 52, widthPx: 64 }

/** Things to choose from, each with its shadow, all at one scale. @param unitBase drawn as a dashed ring around their own */
export function drawnOptions(things: Drawn[], unitBase: Base | null = null): Option[] {
  const figures = things.flatMap(({ figure }) => figure ?? [])
  const pxPerMm = scaleFor(figures, room, unitBase)
  return things.map(({ id, name, note, figure }) => ({
    value: id,
    label: name,
    ...(note ? { note } : {}),
    ...(figure && { drawing: <Shadow figure={figure} unitBase={unitBase} pxPerMm={pxPerMm} /> }),
  }))
}
