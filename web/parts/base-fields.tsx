import { FieldGroup, SelectField } from './choice-field.tsx'
import { NumberField } from './field.tsx'

const shapes = ['round', 'oval', 'rectangle'].map((shape) => ({ value: shape, label: shape }))

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
