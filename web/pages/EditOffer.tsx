import { Beside, Disclosure } from '../parts/blocks.tsx'
import { EditForm, type RoutedForm } from '../parts/button-form.tsx'
import { CheckboxGroup, type Drawn, drawnOptions, RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { DateField, MoneyField, NumberField, TextArea, TextField } from '../parts/field.tsx'
import { isRefused } from '../parts/form.tsx'
import { OfferList, PriceHistory, type ShownOffer } from './Offer.tsx'

interface Props extends RoutedForm {
  currencies: [string, ...string[]]
  back: { href: string; title: string }
  /** Of an offer that is known: its kind stays. */
  kind?: 'purchase' | 'bundle' | 'membership' | 'free'
  /** What a bundle or membership opens, to keep or to drop, and what the typed titles may mean. */
  files?: Drawn[]
  /** As it was before the change. */
  offer?: ShownOffer
  /** Of a new offer: those that the file has already. */
  offers?: ShownOffer[]
  /** The link is not shown to this reader; what is typed replaces it. */
  linkHidden?: boolean
}

export const offerKinds = [
  { value: 'purchase', label: 'a purchase of this file' },
  { value: 'bundle', label: 'a bundle of several files' },
  { value: 'membership', label: 'a membership, paid by the month' },
  { value: 'free', label: 'free' },
]

const states = [
  'on sale',
  { value: 'members only', label: 'members only', note: 'for those who pay the sculptor a membership' },
  { value: 'withdrawn', label: 'withdrawn', note: 'it is no longer available; the link is no longer shown' },
]

/** Adds a way to get a file, or changes one; the earlier price stays in its history. */
export function EditOffer({ form, action, hidden, currencies, back, ...known }: Props) {
  const { kind, files = [], offers = [] } = known
  const isWide = kind === undefined || kind === 'bundle' || kind === 'membership'
  return (
    <EditForm
      form={form}
      action={action}
      hidden={{ ...hidden, ...(isWide && { fileIds: '' }) }}
      button="Keep this offer"
      back={[back.href, `Back to ${back.title}`]}
    >
      {kind === undefined && <SelectField name="kind" label="What it is" options={offerKinds} />}
      <OfferFields
        currencies={currencies}
        kind={kind}
        linkHidden={known.linkHidden ?? false}
        isOpen={kind !== undefined || isRefused(form)}
      />
      {known.offer && (
        <Beside>
          <h2 class="side-heading">Prices so far</h2>
          <PriceHistory offer={known.offer} />
          <p class="quiet">A change made here is added to them, with the day it was seen.</p>
        </Beside>
      )}
      {offers.length > 0 && (
        <Beside>
          <h2 class="side-heading">Known already</h2>
          <OfferList offers={offers} />
        </Beside>
      )}
      {isWide && <OpensFields files={files} isNew={kind === undefined} />}
    </EditForm>
  )
}

interface FieldsProps {
  prefix?: string
  currencies: [string, ...string[]]
  kind?: Props['kind']
  linkHidden?: boolean
  /** Whether what is seldom said is in sight. */
  isOpen?: boolean
}

/** The terms of an offer; also asked while a new file is added. */
export function OfferFields({ prefix = '', currencies, kind, linkHidden = false, isOpen = false }: FieldsProps) {
  return (
    <>
      <PriceFields prefix={prefix} currencies={currencies} kind={kind} />
      <TextField
        optional
        type="url"
        name={`${prefix}url`}
        label="Link"
        hint={
          linkHidden
            ? 'Its link is for stewards alone. Leave this empty to keep it.'
            : 'It starts with https:// and leads to the offer, never to the files themselves.'
        }
      />
      <Disclosure summary="Its name, whether it is on sale, when it was seen" open={isOpen}>
        <TextField
          optional
          name={`${prefix}title`}
          label="What it is called"
          hint="The name of the bundle or membership, for instance."
        />
        <RadioGroup name={`${prefix}state`} label="State" options={states} />
        <DateField optional name={`${prefix}seenOn`} label="Seen on" hint="Today if left empty." />
      </Disclosure>
    </>
  )
}

function PriceFields({ prefix, currencies, kind }: Pick<FieldsProps, 'currencies' | 'kind'> & { prefix: string }) {
  const isOpenKind = kind === undefined
  return (
    <>
      {kind !== 'free' && (
        <MoneyField
          optional={isOpenKind}
          name={`${prefix}price`}
          label={kind === 'membership' ? 'Price per month' : 'Price'}
          hint={isOpenKind && 'For a membership, the price per month. Leave it empty if it is free.'}
          currencies={currencies}
        />
      )}
      {(isOpenKind || kind === 'membership') && (
        <NumberField
          optional={isOpenKind}
          whole
          name={`${prefix}minMonths`}
          label="For at least"
          unit="months"
          hint={`${isOpenKind ? 'Of a membership only; ' : ''}1 if it can be cancelled at any time.`}
        />
      )}
    </>
  )
}

function OpensFields({ files, isNew }: { files: NonNullable<Props['files']>; isNew: boolean }) {
  return (
    <>
      {files.length > 0 && (
        <CheckboxGroup
          optional={isNew}
          name="fileIds"
          label={isNew ? 'Opens these files as well' : 'Opens these files'}
          options={drawnOptions(files)}
        />
      )}
      <TextArea
        optional
        rows={4}
        name="titles"
        label={isNew ? 'Of a bundle or membership: which other files it opens' : 'Opens these files as well, by title'}
        hint="One title a line, pasted or typed. If a line is unclear, or names a sculptor, you get files to tick."
      />
    </>
  )
}
