import { controlOf, FieldFrame, type FieldProps } from './field.tsx'
import { useField } from './form.tsx'

/** One thing found: what the endpoint answers as JSON `{ items: Suggestion[] }`, and what the page offers without script. */
export interface Suggestion {
  id: string
  label: string
  /** "4 stand-ins known" */
  note?: string | null
  /** Where to read more about it. */
  href?: string | null
}

export interface SuggestFieldProps extends FieldProps {
  /** Answers `GET <url>?q=<typed>`. */
  url: string
  /** Name under which the chosen id is sent; the typed text is sent under `name`. */
  target: string
  /** After a refused or first send: what the typed text may have meant, to choose from without script. */
  found?: Suggestion[]
}

/** A text box that proposes what the group already knows; without script the page proposes after sending. */
export function SuggestField({ url, target, found = [], ...field }: SuggestFieldProps) {
  const state = useField(field.name, field.hint)
  const chosen = useField(target)
  return (
    <FieldFrame {...field} state={state} class="suggest">
      <div class="suggest-box">
        <input
          {...controlOf(field, state)}
          type="text"
          autoComplete="off"
          value={state.value}
          data-suggest={url}
          data-suggest-target={target}
        />
      </div>
      {found.length === 0 ? (
        <input type="hidden" name={target} value={chosen.value} />
      ) : (
        <fieldset class="suggest-found">
          <legend>Did you mean one of these?</legend>
          {found.map((item) => (
            <Found key={item.id} target={target} item={item} checked={item.id === chosen.value} />
          ))}
        </fieldset>
      )}
    </FieldFrame>
  )
}

function Found({ target, item, checked }: { target: string; item: Suggestion; checked: boolean }) {
  return (
    <div class="suggest-item">
      <label class="choice">
        <input type="radio" name={target} value={item.id} checked={checked} />
        <span class="choice-words">{item.label}</span>
      </label>
      {item.note && (item.href ? <a href={item.href}>{item.note}</a> : <span class="quiet">{item.note}</span>)}
    </div>
  )
}
