import { type Base, baseWords } from './base.ts'

/** The unit's and the file's base from above, to one scale, one on the other: whether it fits is seen at a glance. */

export function Bases({ unit, file }: { unit: Base; file: Base }) {
  const reach = Math.max(longest(unit), longest(file)) / 2 + 2
  return (
    <svg
      class="bases"
      width="72"
      height="72"
      viewBox={`${-reach} ${-reach} ${2 * reach} ${2 * reach}`}
      role="img"
      aria-label={`The file's base, ${baseWords(file)}, on the unit's, ${baseWords(unit)}`}
    >
      <Shape base={file} name="base-own" />
      <Shape base={unit} name="base-unit" />
    </svg>
  )
}

function Shape({ base, name }: { base: Base; name: string }) {
  const [x, y] = [longest(base) / 2, (base.shape === 'round' ? base.widthMm : shortest(base)) / 2]
  return base.shape === 'rectangle' ? (
    <rect class={name} x={-x} y={-y} width={2 * x} height={2 * y} />
  ) : (
    <ellipse class={name} cx="0" cy="0" rx={x} ry={y} />
  )
}

const longest = (base: Base) => Math.max(base.widthMm, base.lengthMm ?? 0)
const shortest = (base: Base) => Math.min(base.widthMm, base.lengthMm ?? base.widthMm)
