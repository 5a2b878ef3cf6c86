const across = 25
const step = 13
/** More squares than these are not looked at one by one. */
const most = 500

/** How many plates a square stands for: 1, 10, 100 and so on. */
export function platesASquare(plates: number): number {
  let each = 1
  while (plates / each > most) each *= 10
  return each
}

interface Props {
  counted: number
  /** Not counted yet. */
  waiting: number
}

/** The group's plates as squares, as they lie: filled where the figures count them, hollow where they wait. */
export function PlatesCounted({ counted, waiting }: Props) {
  const each = platesASquare(counted + waiting)
  const [filled, hollow] = [Math.ceil(counted / each), Math.ceil(waiting / each)]
  const all = filled + hollow
  return (
    <figure class="plates-counted">
      <svg
        width={across * step}
        height={Math.ceil(all / across) * step}
        viewBox={`0 0 ${across * step} ${Math.ceil(all / across) * step}`}
        aria-hidden="true"
      >
        {Array.from({ length: all }, (_, index) => (
          <rect
            key={index}
            class={index < filled ? 'plate-counted' : 'plate-waiting'}
            x={(index % across) * step + 1}
            y={Math.floor(index / across) * step + 2}
            width={step - 3}
            height={step - 5}
          />
        ))}
      </svg>
      <figcaption class="quiet">
        Each box is {each === 1 ? 'a plate' : `up to ${each} plates`}: filled once the figures count it
        {waiting > 0 && ', hollow while it waits'}.
      </figcaption>
    </figure>
  )
}
