import { Button, EmptyState, Pager } from '../parts/blocks.tsx'
import { misfits } from '../parts/differences.ts'
import type { Values } from '../parts/form.tsx'
import { Sum } from '../parts/money.tsx'
import { Picture } from '../parts/picture.tsx'
import { remembered } from '../parts/remembered.tsx'
import { HeightRule, Shadow } from '../parts/shadow.tsx'
import { besideSupplied, IntervalMark } from '../parts/success-interval.tsx'
import { byWords, fieldWords, figureOf, hurdlesOf, isHindered, type StandIn, type StoodInFor } from './StandInCells.tsx'

export interface WallProps {
  unit: StoodInFor
  /** Models that the figures are for. */
  wanted: number
  standIns: StandIn[]
  /** The one scale that all of them are drawn to. */
  pxPerMm: number
  /** How many pass the filter, and how many of these the pages before this one have shown. */
  found: number
  from: number
  /** Address of the next page; null on the last. */
  next: string | null
  /** What is filtered by and in which order, by the names of the form's fields. */
  values: Values
  /** Those side by side above. */
  compared: { id: string }[]
}

/** The figures that pass the filter, on a common ground line a row; the form around them asks to compare those ticked. */
export function UnitWall({ unit, standIns, pxPerMm, found, from, next, values, compared, wanted }: WallProps) {
  if (standIns.length === 0)
    return (
      <div id="found">
        <EmptyState words="None matches this filter.">
          <a href={`/units/${unit.id}`}>Show them all</a>
        </EmptyState>
      </div>
    )
  const chosen = new Set(compared.map(({ id }) => id))
  const kept = Object.entries(values).filter(([name]) => name !== 'compare')
  // What is compared already stays so, whichever page it stands on.
  const elsewhere = compared.filter(({ id }) => !standIns.some((one) => one.id === id))
  const some = standIns.length < found ? `${from + 1} to ${from + standIns.length} of ${found}; ` : ''
  const draw = { unit, pxPerMm, chosen }
  return (
    <form id="found" action={`/units/${unit.id}`} method="get" class="wall-form">
      {kept.flatMap(([name, value]) =>
        [value].flat().map((one) => <input key={`${name}${one}`} type="hidden" name={name} value={one} />),
      )}
      {elsewhere.map(({ id }) => (
        <input key={id} type="hidden" name="compare" value={id} />
      ))}
      <p class="wall-key">
        {some}what a model costs to the table when {wanted === 1 ? 'one is' : `${wanted} are`} printed; on the short
        rules, good copies of 100
      </p>
      <Wall {...draw} label={`Stand-ins for ${unit.name}`} standIns={standIns.filter((one) => !isHindered(one))} />
      <Wall {...draw} label="Not to be had, or stopped by a snag" named standIns={standIns.filter(isHindered)} />
      <div class="wall-key">
        <HeightRule mm={10} pxPerMm={pxPerMm} />
        <p>one centimetre; dashed ring: the unit’s base; filled: the file’s</p>
      </div>
      {standIns.length > 1 && (
        <div class="actions">
          <Button>Compare those ticked, up to four</Button>
        </div>
      )}
      <Pager href={next} />
    </form>
  )
}

interface DrawProps {
  unit: StoodInFor
  pxPerMm: number
  chosen: ReadonlySet<string>
}

function Wall({
  label,
  named = false,
  standIns,
  chosen,
  ...draw
}: DrawProps & { label: string; named?: boolean; standIns: StandIn[] }) {
  if (standIns.length === 0) return null
  return (
    <>
      {named && <p class="wall-turn">{label}:</p>}
      <ul class="wall" aria-label={label}>
        {standIns.map((one) => (
          <Place key={one.id} one={one} isChosen={chosen.has(one.id)} {...draw} />
        ))}
      </ul>
    </>
  )
}

interface PlaceProps extends Pick<DrawProps, 'unit' | 'pxPerMm'> {
  one: StandIn
  isChosen: boolean
}

/** The shadow stands on the unit's base; a member's picture hangs above it. */
const Place = remembered(({ one, unit, pxPerMm, isChosen }: PlaceProps) => {
  const differs = misfits(one, unit)
  return (
    <li class="stand-in">
      <div class="stand-in-picture">{one.face && <Picture picture={one.face} sizes="11rem" />}</div>
      <div class="stand-in-figure">
        <Shadow figure={figureOf(one, unit)} unitBase={unit.base} pxPerMm={pxPerMm} />
      </div>
      <div class="stand-in-words">
        <h3>
          <a href={`/files/${one.id}`}>{one.title}</a>
        </h3>
        <p class="quiet">{byWords(one.sculptor)}</p>
        {one.perModel && (
          <p>
            <Sum value={one.perModel} /> a model
          </p>
        )}
        {hurdlesOf(one).map((hurdle) => (
          <p key={hurdle} class="hurdle">
            {hurdle}
          </p>
        ))}
        <IntervalMark
          interval={one.comesOut}
          isGuess={one.printSuccess.copies <= 0}
          words={`come out${besideSupplied(one.supportKind)}`}
        />
        <p class="quiet">{fieldWords(one.votes)}</p>
        {differs.length > 0 && <p class="quiet">{differs.join('; ')}</p>}
        <label class="choice">
          <input type="checkbox" name="compare" value={one.id} checked={isChosen} />
          <span>
            Compare<span class="visually-hidden"> {one.title}</span>
          </span>
        </label>
      </div>
    </li>
  )
}, 500)
