import { fieldId, useForm } from './form.tsx'

/**
 * What to mend, at the top of a refused form; each line names its field and leads to it.
 *
 * @param before what can be done then
 */
export function ErrorSummary({ before = 'this can be kept' }: { before?: string | undefined }) {
  const { id, errors, labels } = useForm()
  const lines = Object.entries(errors)
  if (lines.length === 0) return null
  return (
    <div class="error-summary" role="alert" tabIndex={-1} id={`${id}-errors`} data-focus>
      <p class="error-summary-title">
        {lines.length === 1 ? `One thing to mend before ${before}` : `${lines.length} things to mend before ${before}`}
      </p>
      <ul>
        {lines.map(([name, message]) => (
          <li key={name}>
            {name === '' ? (
              message
            ) : (
              <a href={`#${fieldId(id, name)}`}>
                {[labels.get(fieldId(id, name)), message].filter(Boolean).join(': ')}
              </a>
            )}
          </li>
        ))}
      </ul>
    </div>
  )
}
