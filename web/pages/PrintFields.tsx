import type { ComponentChildren } from 'preact'
import { Button, Disclosure } from '../parts/blocks.tsx'
import { FieldGroup, type Option, RadioGroup, SelectField } from '../parts/choice-field.tsx'
import { Correction, NumberField } from '../parts/field.tsx'
import { useField } from '../parts/form.tsx'
import { capital } from '../parts/member-words.ts'
import type { FigureSize } from '../parts/shadow.tsx'

export interface SupportOption {
  value: string
  kind: 'as supplied' | 'extra supports' | 'own supports'
  /** Null for a kind that nobody has entered for the newest revision. */
  revision: string | null
  isNewest: boolean
}

export interface ShownPrint {
  /** Of a print that was told before. */
  id?: string | undefined
  file: { id: string; title: string; figure: FigureSize }
  supports: SupportOption[]
  /** Entries of the reader's rosters that it may count for. */
  entries: { entryId: string; name: string; models: number; roster: { name: string } }[]
  /** Copies that the form starts with, since there were as many on the reader's last plate of it. */
  asLastTime?: string | undefined
}

interface Props {
  print: ShownPrint
  index: number
  seen: string[]
  /** Where the form goes to. */
  action: string
  isAlone: boolean
  /** What follows the counts. */
  children?: ComponentChildren
}

/** How one print of a plate came out. */
export function PrintFields({ print, index, seen, action, isAlone, children }: Props) {
  const { id, file, supports, entries, asLastTime } = print
  const name = (field: string) => `prints.${index}.${field}`
  const named = (words: string) => (isAlone ? words : `${words}: ${file.title}`)
  return (
    <>
      {id && <input type="hidden" name={name('id')} value={id} />}
      <input type="hidden" name={name('fileId')} value={file.id} />
      <FieldGroup legend={named('How many copies')}>
        <NumberField
          whole
          steps
          name={name('tried')}
          label="On the plate"
          hint={asLastTime && `Starts at ${asLastTime}, as last time.`}
          unit="copies"
        />
        <NumberField whole steps name={name('good')} label="Came out good" unit="copies" />
      </FieldGroup>
      {children}
      <SeenFields name={name('failures')} legend={named('What did the failed ones look like')} seen={seen} />
      <MendedFields mended={name('mended')} minutes={name('mendedMinutes')} summary={named('Saved some by hand')} />
      <Supports name={name('supports')} label={named('Which supports')} supports={supports} />
      {entries.length > 0 && (
        <SelectField
          optional
          empty="none of them"
          name={name('entryId')}
          label={named('Count it for an entry of your rosters')}
          options={entries.map(({ entryId, models, name: called, roster }) => ({
            value: entryId,
            label: `${models} × ${called}, ${roster.name}`,
          }))}
        />
      )}
      {!isAlone && (
        <div>
          <Button name="drop" value={String(index)} formAction={`${action}/more`}>
            {file.title} was not on the plate
          </Button>
        </div>
      )}
    </>
  )
}

/** How it shows itself, for who hasn't seen many. (Common practice, no source.) */
const seenHints: Record<string, string> = {
  'supports snapped': 'they broke off, or pulled the part down',
  'part had no support': 'it hung in the air and is missing or lies in the vat',
  'nothing stuck to the plate': 'the copy lies on the film, foot and all',
  'one side of the plate only': 'the copies on one side are there, on the other not',
  'stuck to the film': 'it came off in the middle and stayed on the film',
  'layers pulled apart': 'split or stepped between two layers',
  'soft detail': 'all there, but blurred or swollen',
}

/** A count for each thing seen; whoever saw none of them leaves all empty. */
function SeenFields({ name, legend, seen }: { name: string; legend: string; seen: string[] }) {
  const state = useField(name)
  return (
    <div id={state.id} class="seen" tabIndex={-1}>
      <FieldGroup
        legend={legend}
        hint="Say what you saw, not whose fault it is. Leave empty what you didn't see; whatever you leave out counts as “don't know”."
      >
        <Correction state={state} />
        {seen.map((kind) => (
          <NumberField
            key={kind}
            optional
            whole
            steps
            name={`${name}.${kind}`}
            label={capital(kind)}
            hint={seenHints[kind]}
            unit="copies"
          />
        ))}
      </FieldGroup>
    </div>
  )
}

/** Failed copies that can stand on the table all the same. */
function MendedFields({ mended, minutes, summary }: { mended: string; minutes: string; summary: string }) {
  const said = [useField(mended), useField(minutes)]
  return (
    <Disclosure summary={summary} open={said.some(({ value, error }) => value !== '' || error !== undefined)}>
      <FieldGroup
        legend={summary}
        hint="Failed copies that you glued, filled or trimmed. They count as failed prints, and as models on the table."
      >
        <NumberField optional whole steps name={mended} label="Mended" unit="copies" />
        <NumberField optional whole name={minutes} label="That took" unit="minutes" />
      </FieldGroup>
    </Disclosure>
  )
}

/** Filled in and folded away; open where it is missing or wrong. */
function Supports({ name, label, supports }: { name: string; label: string; supports: SupportOption[] }) {
  const { value, error } = useField(name)
  const chosen = supports.find((option) => option.value === value)
  return (
    <Disclosure
      summary={chosen ? `${label}: ${supportWords[chosen.kind].toLowerCase()}` : label}
      open={!chosen || error !== undefined}
    >
      <RadioGroup big name={name} label={label} options={supports.map(supportOption)} />
    </Disclosure>
  )
}

const supportWords = {
  'as supplied': 'As the sculptor supplied them',
  'extra supports': 'Supplied ones, and I added some',
  'own supports': 'My own supports',
}

function supportOption({ value, kind, revision, isNewest }: SupportOption): Option {
  const label = supportWords[kind]
  if (revision === null) return { value, label }
  return { value, label, note: isNewest ? `of revision ${revision}` : `of revision ${revision}, an older one` }
}
