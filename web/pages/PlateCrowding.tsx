import { type Option, RadioGroup } from '../parts/choice-field.tsx'
import { type Filling, fillingWords } from '../parts/filling.ts'
import { useField } from '../parts/form.tsx'

export interface PlateCrowdingProps {
  /** Whether it is known of every print what a copy covers. */
  isKnown: boolean
  /** Of a print that is alone on the plate. */
  filling: Filling | null
}

/** How full the plate was: worked out by the service where it can be, or as the member says. */
export function PlateCrowding({ isKnown, filling }: PlateCrowdingProps) {
  const worked = { value: '', label: 'Work it out', note: <Worked filling={filling} /> }
  return (
    <RadioGroup
      big
      name="crowding"
      label="How full was the plate"
      options={isKnown ? [worked, ...crowdings] : crowdings}
    />
  )
}

/** What would come of it; a script keeps it up with what is typed. */
function Worked({ filling }: Pick<PlateCrowdingProps, 'filling'>) {
  const [tried, printer] = [useField('prints.0.tried'), useField('printerId')]
  if (!filling) return <>from what all the copies cover</>
  const words = fillingWords(filling, Number(tried.value.trim() || 'none'), printer.value)
  return <span data-filling={JSON.stringify(filling)}>{words}</span>
}

const crowdings: Option[] = [
  { value: 'half empty', label: 'Half empty', note: 'a finger fits between the copies' },
  { value: 'about full', label: 'About full', note: 'a few millimetres between them' },
  { value: 'packed', label: 'Packed', note: 'as many as would fit, edge to edge' },
]
