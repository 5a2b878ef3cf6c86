import { Button } from '../parts/button.tsx'
import { Section } from '../parts/section.tsx'

interface Props {
  /** Where the numbers are sent to be looked at. */
  action: string
  worker: string
  /** What sizes are held against, where it is known. */
  scaleMm: number | null
  /** Then it is asked at which layers to look for what begins in mid-air. */
  supported: boolean
  again: boolean
}

/** Files for the script to measure; out of sight without one. The field has no name, so that its files are never sent. */
export function FilesToMeasure({ action, worker, scaleMm, supported, again }: Props) {
  return (
    <div hidden data-needs-script>
      <Section heading={again ? 'Measure it again' : 'Choose the files'} id="files">
        <form class="form" action={`${action}#found`} method="post" data-measure={worker} data-scale={scaleMm}>
          <input type="hidden" name="measured" />
          <FilesField id="files-to-measure" />
          <div class="field field-select">
            <label for="measure-unit">Made in</label>
            <p class="hint" id="measure-unit-hint">
              STL and OBJ don’t say; nearly all are in millimetres. A 3MF says it itself.
            </p>
            <select id="measure-unit" data-unit aria-describedby="measure-unit-hint">
              <option value="mm">millimetres</option>
              <option value="cm">centimetres</option>
              <option value="inch">inches</option>
              <option value="m">metres</option>
            </select>
          </div>
          {supported && (
            <div class="field field-number">
              <label for="measure-layer">Your layer height</label>
              <p class="hint" id="measure-layer-hint">
                At these layers it is looked for what begins in mid-air.
              </p>
              <span class="with-unit">
                <input
                  id="measure-layer"
                  data-layer
                  type="text"
                  inputMode="decimal"
                  autoComplete="off"
                  value="50"
                  aria-describedby="measure-layer-hint"
                />
                <span class="unit">µm</span>
              </span>
            </div>
          )}
          <Button main>Measure</Button>
        </form>
      </Section>
    </div>
  )
}

/** @param id of the control */
export function FilesField({ id }: { id: string }) {
  return (
    <div class="field field-files">
      <label for={id}>Files</label>
      <p class="hint" id={`${id}-hint`}>
        STL, OBJ or 3MF; all parts of one figure at once. Drop them here, or choose them.
      </p>
      <input id={id} type="file" multiple accept=".stl,.obj,.3mf" aria-describedby={`${id}-hint`} />
    </div>
  )
}
