import { Beside } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { FieldGroup, RadioGroup } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { NumberField, TextField } from '../parts/field.tsx'

export interface SizeLink {
  words: string
  href: string
  isChosen: boolean
}

interface Props extends RoutedForm {
  /** A printer that is here already can also be retired. */
  isNew: boolean
  /** Of an empty form: usual sizes that fill it. */
  sizes?: SizeLink[]
}

/** Adds a printer or changes one. */
export function EditPrinter({ sizes = [], isNew, ...form }: Props) {
  return (
    <>
      {sizes.length > 0 && <Sizes sizes={sizes} />}
      <EditForm {...form} button="Keep this printer">
        <TextField name="name" label="What you call it" maxLength={80} />
        <FieldGroup legend="How much fits on it">
          <NumberField name="plateWidthMm" label="Plate, width" unit="mm" />
          <NumberField name="plateDepthMm" label="Plate, depth" unit="mm" />
          <NumberField name="buildHeightMm" label="Height" unit="mm" />
        </FieldGroup>
        <Beside>
          <DescribedHere what="printer" />
        </Beside>
        <FieldGroup
          legend="How you run it"
          hint="As you set it for your usual resin. Print times are worked out from these."
        >
          <NumberField name="layerUm" label="Layer" unit="µm" hint="50 µm is 0.05 mm." />
          <NumberField name="exposureS" label="Exposure of a layer" unit="s" />
          <NumberField whole name="bottomLayers" label="Bottom layers" />
          <NumberField name="bottomExposureS" label="Exposure of a bottom layer" unit="s" />
          <NumberField name="cycleOverheadS" label="Lifting, lowering and waiting, per layer" unit="s" />
        </FieldGroup>
        {!isNew && <RadioGroup name="state" label="Is it still running?" options={states} />}
      </EditForm>
    </>
  )
}

/** Links, so that they work without script; they come first, since following one empties the rest. */
function Sizes({ sizes }: { sizes: SizeLink[] }) {
  return (
    <p>
      Start from a usual size (round numbers, not any maker’s; common practice, no source), then put in your own:{' '}
      {sizes.map(({ words, href, isChosen }, index) => (
        <span key={href}>
          {index > 0 && ' · '}
          <a href={href} aria-current={isChosen ? 'true' : undefined}>
            {words}
          </a>
        </span>
      ))}
    </p>
  )
}

const states = [
  { value: 'in use', label: 'In use' },
  { value: 'retired', label: 'Retired', note: 'Its reports stay; no new ones are made on it.' },
]
