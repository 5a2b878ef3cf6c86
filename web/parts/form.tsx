import { type ComponentChildren, createContext } from 'preact'
import { useContext } from 'preact/hooks'
import { renderToString } from 'preact-render-to-string'
import { ReaderContext } from './reader.tsx'

/** What was typed, by field name; several for a group of boxes. */
export type Values = Record<string, string | string[]>
/** What is wrong, by field name; the empty name for the form as a whole. */
export type Errors = Record<string, string>

/** What a form shows: what was typed, and what is wrong with it. */
export interface FormState {
  values: Values
  errors: Errors
}

export const isRefused = ({ errors }: FormState): boolean => Object.keys(errors).length > 0

interface FormAround extends FormState {
  id: string
  /** What the page calls each field, by the id of its control. */
  labels: Map<string, string>
}

const FormContext = createContext<FormAround | null>(null)

/** @throws Error outside a `Form` */
export function useForm(): FormAround {
  const form = useContext(FormContext)
  if (form === null) throw new Error('no Form around this field')
  return form
}

/** The legend over fields that belong together: alone, "Name" says little, and what the legend says they need not say again. */
export const LegendContext = createContext<{ words: string; optional: boolean } | null>(null)

/** Tells the form what the page calls a field, for the summary of what is to be mended. */
export function useLabel(id: string, label: string): void {
  const legend = useContext(LegendContext)
  useForm().labels.set(id, legend === null ? label : `${legend.words}, ${label}`)
}

/** What one field needs to know of its form. */
export interface FieldState {
  id: string
  /** The typed text; of several, the first. */
  value: string
  values: string[]
  error: string | undefined
  /** For `aria-describedby`: the hint, then the error, as far as there are any. */
  describedBy: string | undefined
}

/** Id of a field's control, which the error summary links to. */
export function fieldId(formId: string, name: string): string {
  return `${formId}-${name.replace(/[^A-Za-z0-9]+/g, '-')}`
}

/** Looks a field up in the form around it. */
export function useField(name: string, hint?: unknown): FieldState {
  const form = useForm()
  const id = fieldId(form.id, name)
  const values = [own(form.values, name) ?? []].flat()
  const error = own(form.errors, name)
  const described = [hint ? `${id}-hint` : '', error ? `${id}-error` : ''].filter(Boolean).join(' ')
  return { id, value: values[0] ?? '', values, error, describedBy: described || undefined }
}

// A field may be called like something that every object inherits.
function own<Held>(record: Record<string, Held>, name: string): Held | undefined {
  return Object.hasOwn(record, name) ? record[name] : undefined
}

export interface FormProps {
  action: string
  method?: 'post' | 'get'
  /** Needed where a page has several forms with the same field names. */
  id?: string
  values?: Values
  errors?: Errors
  /** Sent along unseen. */
  hidden?: Record<string, string>
  /** Files are sent too. */
  upload?: boolean
  /** Id of the region that the script re-fetches on each change of a GET form; without script it is sent by its button. */
  swaps?: string
  /** Name of the form for those who hear the page, where its purpose is not in a heading before it. */
  label?: string
  class?: string
  /** What it is about, for a form that is kept on the phone until it has arrived. */
  keeps?: string | undefined
  children: ComponentChildren
}

/** A form whose fields find their typed value and their error by name. The server alone judges: one manner of refusal. */
export function Form({ id = 'form', values = {}, errors = {}, method = 'post', hidden = {}, ...props }: FormProps) {
  const state = { id, values, errors, labels: new Map<string, string>() }
  const reader = useContext(ReaderContext)
  // The summary of a refused form stands before its fields; so they are asked for their labels first.
  if (isRefused(state))
    renderToString(
      <ReaderContext.Provider value={reader}>
        <FormContext.Provider value={state}>{props.children}</FormContext.Provider>
      </ReaderContext.Provider>,
    )
  return (
    <FormContext.Provider value={state}>
      <form
        id={id}
        class={props.class ?? 'form'}
        action={props.action}
        method={method}
        encType={props.upload ? 'multipart/form-data' : undefined}
        data-swap={props.swaps}
        data-keeps={props.keeps}
        aria-label={props.label}
        noValidate
      >
        {Object.entries(hidden).map(([name, value]) => (
          <input key={name} type="hidden" name={name} value={value} />
        ))}
        {props.children}
      </form>
    </FormContext.Provider>
  )
}
