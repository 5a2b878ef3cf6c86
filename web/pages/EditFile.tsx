import { Beside, Disclosure, Section } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { BaseFields, byName, Checkbox, CheckboxGroup, FieldGroup, SelectField } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { DateField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { isRefused } from '../parts/form.tsx'
import { SuggestField, type Suggestion } from '../parts/suggest-field.tsx'
import { OfferFields, offerKinds } from './EditOffer.tsx'
import { SupportKinds } from './EditRevision.tsx'
import { MeasureHere } from './MeasureFiles.tsx'
import { AddedByMistake, type Mistake } from './Merge.tsx'

interface Props extends RoutedForm {
  currencies: [string, ...string[]]
  /** What is ticked or could be: the usual formats and those that this file has besides. */
  formats: string[]
  /** Units that the file stands in for already, to keep or to drop. */
  units: { id: string; name: string }[]
  /** What the typed unit may mean. */
  found: Suggestion[]
  /** Resin of a copy where a file's own is not known, ml. */
  resinMlPerModel: number
  /** Address of the script that measures a new file. */
  worker?: string
  /** The sculptor asked not to be named, and the reader is no steward. */
  sculptorHidden?: boolean
  /** A new file takes its first revision and an offer along. */
  isNew?: boolean
  /** Of a file that is there already. */
  mistake?: Mistake
}

/** Adds a file, with its first revision and an offer if they are known, or changes one. */
export function EditFile({ form, action, hidden, isNew = false, ...props }: Props) {
  // What is wrong must not be out of sight.
  const isMending = isRefused(form)
  return (
    <>
      <EditForm
        form={form}
        action={action}
        hidden={{ ...hidden, standsInFor: '', formats: '' }}
        button="Keep this file"
      >
        <TextField name="title" label="Title" hint="As it is sold or given." />
        <SculptorFields sculptorHidden={props.sculptorHidden ?? false} isNew={isNew} />
        <UnitFields units={props.units} found={props.found} />
        {props.worker && <MeasureHere worker={props.worker} />}
        <ModelFields {...props} isOpen={!isNew || isMending} />
        <Beside>
          <DescribedHere what="file" />
        </Beside>
        {isNew && <FirstFields currencies={props.currencies} isOpen={isMending} />}
      </EditForm>
      {props.mistake && <AddedByMistake kind="file" {...props.mistake} />}
    </>
  )
}

/** Who made it; of a new file that may stay out. @param prefix of the names of the fields, where the file is a part of a form */
export function SculptorFields({
  sculptorHidden,
  prefix = '',
  isNew = false,
}: Pick<Props, 'sculptorHidden' | 'isNew'> & { prefix?: string }) {
  if (sculptorHidden) return <p class="quiet">The sculptor asked not to be named; only a steward can change that.</p>
  return (
    <FieldGroup legend="Sculptor">
      <SuggestField
        optional={isNew}
        name={`${prefix}sculptor.name`}
        label="Name"
        url="/sculptors/suggest"
        target="sculptorId"
      />
      <Checkbox
        name={`${prefix}sculptor.credit`}
        value="unnamed"
        label="The sculptor asked not to be named"
        hint="Then only stewards see the name and the links, for this and all the sculptor’s other files, and only stewards can undo that."
      />
    </FieldGroup>
  )
}

function UnitFields({ units, found }: Pick<Props, 'units' | 'found'>) {
  const more = units.length > 0
  return (
    <>
      {more && <CheckboxGroup optional name="standsInFor" label="Stands in for" options={byName(units)} />}
      <SuggestField
        optional
        name="unit"
        label={more ? 'Stands in for this unit as well' : 'Stands in for'}
        hint="The unit it can take the place of. You can add more later."
        url="/units/suggest"
        target="unitId"
        found={found}
      />
    </>
  )
}

/** What is measured or counted of a model. @param prefix of the names of the fields */
export function MeasureFields({ resinMlPerModel, prefix = '' }: { resinMlPerModel: number; prefix?: string }) {
  return (
    <>
      <NumberField optional name={`${prefix}scaleMm`} label="Scale" unit="mm" hint="Usually 28 or 32." />
      <BaseFields prefix={prefix} />
      <NumberField
        optional
        name={`${prefix}resinMl`}
        label="Resin for one copy"
        unit="ml"
        hint={`Supports included, as your slicer says. If left empty, ${resinMlPerModel} ml is assumed.`}
      />
      <TextArea
        optional
        rows={3}
        name={`${prefix}options`}
        label="Options it comes with"
        hint="One a line: weapons, heads, poses. A request’s must-haves are looked for here."
      />
    </>
  )
}

function ModelFields({
  formats,
  resinMlPerModel,
  isOpen,
}: Pick<Props, 'formats' | 'resinMlPerModel'> & { isOpen: boolean }) {
  return (
    <>
      <MeasureFields resinMlPerModel={resinMlPerModel} />
      <Disclosure summary="Height, formats, style, licence, remark" open={isOpen}>
        <NumberField optional name="heightMm" label="Height of one model" unit="mm" hint="With its supports." />
        <CheckboxGroup optional name="formats" label="Formats" options={formats} />
        <TextArea optional rows={2} name="styleTags" label="Style" hint="One word a line: grim, clean, comical …" />
        <TextField optional name="licence" label="Licence" hint="For instance: for personal use." />
        <TextArea optional name="remark" label="Remark" />
      </Disclosure>
    </>
  )
}

function FirstFields({ currencies, isOpen }: { currencies: [string, ...string[]]; isOpen: boolean }) {
  return (
    <>
      <Section heading="Its first revision">
        <p class="hint">Reports belong to a revision and its supports. Clear the label if you know of none.</p>
        <TextField optional name="revision.label" label="Label" hint="As the sculptor calls it, or your own word." />
        <DateField optional name="revision.releasedOn" label="Released on" />
        <SupportKinds name="revision.supportKinds" />
      </Section>
      <Section heading="One way to get it">
        <SelectField optional empty="none known yet" name="offer.kind" label="What it is" options={offerKinds} />
        <OfferFields prefix="offer." currencies={currencies} isOpen={isOpen} />
      </Section>
    </>
  )
}
