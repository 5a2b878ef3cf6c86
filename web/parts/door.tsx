import type { ComponentChildren } from 'preact'
import { Beside } from './blocks.tsx'
import figures from './door-figures.json' with { type: 'json' }
import type { Outline } from './outline.ts'
import { Shadow, type Stage } from './shadow.tsx'

const stages: Stage[] = ['wanted', 'to print', 'printed', 'built', 'painted']

const pxPerMm = 1.9

/** What this is, for whoever has never been here. */
export const doorLead =
  'The group works out here which file to print for a unit, and what it really costs to get it onto the table.'

/** What a stranger sees beside the form at the door: models on their way to the table, and what the place is for. */
export function Door({ children }: { children?: ComponentChildren }) {
  return (
    <Beside>
      <figure class="door">
        <div class="door-row" role="img" aria-label="Five models in a row, each further on its way to the table">
          {figures.map(({ front, widthMm, heightMm, baseMm }, index) => (
            <Shadow
              key={index}
              figure={{
                shadow: { front: outlineOf(front), widthMm, heightMm },
                base: { shape: 'round', widthMm: baseMm, lengthMm: null },
                scaleMm: 28,
              }}
              stage={stages[index] ?? 'built'}
              pxPerMm={pxPerMm}
            />
          ))}
        </div>
        <figcaption class="quiet">Wanted, to print, printed, built, painted</figcaption>
      </figure>
      {children}
    </Beside>
  )
}

/** Rings as `door-figures.json` has them, "0,0 4,0 4,9;…", in mm. */
const outlineOf = (text: string): Outline =>
  text.split(';').map((ring) =>
    ring.split(' ').map((point) => {
      const [x = 0, y = 0] = point.split(',').map(Number)
      return [x, y]
    }),
  )
