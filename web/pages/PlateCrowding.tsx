import { Disclosure } from '../parts/blocks.tsx'
import { type Option, RadioGroup } from '../parts/choice-field.tsx'
import { type Filling, fillingWords } from '../parts/filling.ts'
import { useField } from '../parts/form.tsx'

export interface PlateCrowdingProps {
  /** Whether it is known of every print what a copy covers. */
  isKnown: boolean
  /** Of a print that is alone on the plate. */
  filling: Filling | null
}

/** How full the plate was: worked out by the service where it can be, and folded away then; or as the member says. */
export function PlateCrowding({ isKnown, filling }: PlateCrowdingProps) {
  const { value, error } = useField('crowding')
  const group = (
    <RadioGroup
      big
      name="crowding"
      label="How full was the plate"
      options={isKnown ? [worked, ...crowdings] : crowdings}
    />
  )
  if (!isKnown) return group
  return (
    <div>
      <p>
        <Worked filling={filling} />
      </p>
      <Disclosure summary="Say otherwise how full it was" open={value !== '' || error !== undefined}>
        {group}
      </Disclosure>
    </div>
  )
}

/** What would come of it; a script keeps it up with what is typed. */
function Worked({ filling }: Pick<PlateCrowdingProps, 'filling'>) {
  const [tried, printer] = [useField('prints.0.tried'), useField('printerId')]
  if (!filling) return <>How full the plate was is worked out from what all the copies cover.</>
  const words = fillingWords(filling, Number(tried.value.trim() || 'none'), printer.value)
  return <span data-filling={JSON.stringify(filling)}>{words}</span>
}

const worked: Option = { value: '', label: 'Work it out', note: 'from what the copies cover' }

const crowdings: Option[] = [
  { value: 'half empty', label: 'Half empty', note: 'a finger fits between the copies' },
  { value: 'about full', label: 'About full', note: 'a few millimetres between them' },
  { value: 'packed', label: 'Packed', note: 'as many as would fit, edge to edge' },
]
