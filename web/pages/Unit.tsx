import { EmptyState, Section } from '../parts/blocks.tsx'
import { type FigureSize, scaleFor } from '../parts/shadow.tsx'
import { figureOf, type StandIn, type StoodInFor } from './StandInCells.tsx'
import { StandInsBeside } from './StandInsBeside.tsx'
import { UnitFilter } from './UnitFilter.tsx'
import { UnitWall, type WallProps } from './UnitWall.tsx'

interface Props extends WallProps {
  /** How many there are without the filter. */
  known: number
  /** Options that occur among the stand-ins, to filter by. */
  options: string[]
  /** Up to four, side by side. */
  compared: StandIn[]
  requests: { id: string; wanted: number; asker: { name: string } }[]
}

/** Every known stand-in for a unit: filter, sort, compare. */
export function Unit(props: Props) {
  const { unit, known, compared } = props
  return (
    <>
      {props.requests.length > 0 && <OpenRequests requests={props.requests} />}
      {compared.length > 1 && <StandInsBeside compared={compared} unit={unit} />}
      <Section heading={known === 1 ? 'One known stand-in' : `${known} known stand-ins`} id="stand-ins">
        {known === 0 ? (
          <EmptyState words="Nobody has found a stand-in yet.">
            <p>
              <a href={`/requests/new?unitId=${unit.id}`}>Ask the group</a>, or{' '}
              <a href={`/files/new?unitId=${unit.id}`}>add a file</a> that you know.
            </p>
          </EmptyState>
        ) : (
          <>
            <UnitFilter {...props} />
            <UnitWall {...props} />
            <p>
              Know another? <a href={`/files/new?unitId=${unit.id}`}>Add a file that stands in</a>.
            </p>
          </>
        )}
      </Section>
    </>
  )
}

function OpenRequests({ requests }: Pick<Props, 'requests'>) {
  return (
    <p>
      Asked for now:{' '}
      {requests.map(({ id, wanted, asker }, index) => (
        <>
          {index > 0 && ', '}
          <a href={`/requests/${id}`}>
            {wanted} by {asker.name}
          </a>
        </>
      ))}
    </p>
  )
}

// What a figure may take of the wall.
const place = { heightPx: 148, widthPx: 150 }
/** So that a lone small figure is not blown up. */
const mostPxPerMm = 3

/** The one scale at which all of a page's figures find room in their places. */
export function wallScale(
  standIns: Pick<StandIn, 'shadow' | 'heightMm' | 'base' | 'scaleMm'>[],
  unit: StoodInFor,
): number {
  const figures = standIns.map((one): FigureSize => figureOf(one, unit))
  return Math.min(mostPxPerMm, scaleFor(figures, place, unit.base))
}
