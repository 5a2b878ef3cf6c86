import type { Base } from '../parts/base.ts'
import { Beside, Disclosure, Section } from '../parts/blocks.tsx'
import { EditForm, type FormState } from '../parts/button-form.tsx'
import { SelectField } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { TextField } from '../parts/field.tsx'
import { isRefused } from '../parts/form.tsx'
import { MeasureFields, SculptorFields } from './EditFile.tsx'
import { OfferFields, offerKinds } from './EditOffer.tsx'
import { SupportKinds } from './EditRevision.tsx'
import { MeasureHere } from './MeasureFiles.tsx'
import { AnswerFields } from './Propose.tsx'

interface Props {
  request: { id: string; unit: { name: string; base: Base | null }; mustHaves: string[] }
  form: FormState
  hidden: Record<string, string>
  currencies: [string, ...string[]]
  /** Resin of a copy where a file's own is not known, ml. */
  resinMlPerModel: number
  /** Address of the script that measures. */
  worker: string
}

/** Describes a file that the group does not know yet and proposes it, in one form; what is not known may stay out. */
export function ProposeNew({ request, form, hidden, currencies, resinMlPerModel, worker }: Props) {
  const here = `/requests/${request.id}/propose`
  // What is wrong must not be out of sight.
  const isMending = isRefused(form)
  return (
    <EditForm
      form={form}
      action={`${here}/new`}
      hidden={hidden}
      before="it is proposed"
      button="Propose it"
      back={[here, 'Choose a file that is known']}
    >
      <p class="quiet">A title, a link and a price are enough; the rest can be added later on the file’s page.</p>
      <TextField name="file.title" label="Title" hint="As it is sold or given." />
      <SculptorFields isNew prefix="file." />
      <Section heading="One way to get it">
        <SelectField optional name="file.offer.kind" label="What it is" options={offerKinds} />
        <OfferFields prefix="file.offer." currencies={currencies} isOpen={isMending} />
      </Section>
      <Section heading={`As an answer for ${request.unit.name}`}>
        <AnswerFields mustHaves={request.mustHaves} hint="What you list among its options, below, is counted anyway." />
      </Section>
      <Disclosure summary="More, if you know it: scale, base, resin, options, supports" open={isMending}>
        <MeasureHere prefix="file." worker={worker} />
        <MeasureFields prefix="file." resinMlPerModel={resinMlPerModel} />
        <TextField
          optional
          name="file.revision.label"
          label="Its revision"
          hint="As the sculptor calls it, or your own word. Clear it if you know nothing of its supports."
        />
        <SupportKinds name="file.revision.supportKinds" />
      </Disclosure>
      <Beside>
        <DescribedHere what="file" prefix="file." unitBase={request.unit.base} />
      </Beside>
    </EditForm>
  )
}
