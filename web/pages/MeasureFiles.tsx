import { Actions, Button, Disclosure, Section } from '../parts/blocks.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { useField } from '../parts/form.tsx'

interface Props {
  /** Where the numbers are sent to be looked at. */
  action: string
  worker: string
  /** The size that is expected, where it is known. */
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
          <UnitField id="measure-unit" />
          {supported && <LayerField id="measure-layer" />}
          <Actions>
            <Button main>Measure</Button>
          </Actions>
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

function UnitField({ id }: { id: string }) {
  return (
    <div class="field field-select">
      <label for={id}>Made in</label>
      <p class="hint" id={`${id}-hint`}>
        STL and OBJ don’t say; nearly all are in millimetres. A 3MF says it itself.
      </p>
      <select id={id} data-unit aria-describedby={`${id}-hint`}>
        <option value="mm">millimetres</option>
        <option value="cm">centimetres</option>
        <option value="inch">inches</option>
        <option value="m">metres</option>
      </select>
    </div>
  )
}

function LayerField({ id }: { id: string }) {
  return (
    <div class="field field-number">
      <label for={id}>Your layer height</label>
      <p class="hint" id={`${id}-hint`}>
        What begins in mid-air is looked for at this layer height.
      </p>
      <span class="with-unit">
        <input
          id={id}
          data-layer
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value="50"
          aria-describedby={`${id}-hint`}
        />
        <span class="unit">µm</span>
      </span>
    </div>
  )
}

const inTheFile = [
  { value: 'as supplied', label: 'the figure with its supplied supports' },
  { value: 'extra supports', label: 'the figure with supplied and extra supports' },
  { value: 'own supports', label: 'the figure with own supports' },
]

/**
 * Measures a file in the form that adds it, which then sends the numbers along. Out of sight without a script.
 *
 * @param prefix of the names of the fields that are filled in
 */
export function MeasureHere({ worker, prefix = '' }: { worker: string; prefix?: string }) {
  const numbers = useField('measured')
  return (
    <div hidden data-needs-script>
      <Disclosure summary="Measure the file here" open={numbers.value !== ''}>
        <div class="form" data-measure-here={worker} data-prefix={prefix}>
          <p class="hint">
            Your browser reads it and fills in height and resin. Only numbers are sent; its shadow is drawn from them.
          </p>
          <input type="hidden" name="measured" value={numbers.value} />
          <FilesField id={`${numbers.id}-files`} />
          <UnitField id={`${numbers.id}-unit`} />
          <SelectField
            optional
            name="measuredWith"
            label="The file holds"
            empty="the figure alone"
            options={inTheFile}
          />
          <button type="button" class="button">
            Measure
          </button>
        </div>
      </Disclosure>
    </div>
  )
}
