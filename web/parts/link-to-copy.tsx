/**
 * A link that is shown once. Without script it stands in a field that is selected and copied by hand; the script puts a
 * button below that copies it.
 *
 * @param id unique on the page
 */
export function LinkToCopy({ id, label, link }: { id: string; label: string; link: string }) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <textarea id={id} rows={2} readOnly value={link} data-copy />
    </div>
  )
}
