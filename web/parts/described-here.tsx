import { Described, type DescribedProps, type Typed } from './described.tsx'
import { useForm } from './form.tsx'

/** The place of the picture in a form, drawn by what its fields hold; a script draws it anew with each change. */
export function DescribedHere({
  what,
  prefix = '',
  unitBase = null,
  picture = null,
}: Pick<DescribedProps, 'what' | 'unitBase' | 'picture'> & { prefix?: string }) {
  const { values } = useForm()
  const typed: Typed = (field) => {
    const name = `${prefix}${field}`
    return Object.hasOwn(values, name) ? ([values[name]].flat()[0] ?? '') : ''
  }
  return (
    <figure
      class="described"
      data-described={what}
      data-prefix={prefix}
      data-picture={picture ? JSON.stringify(picture) : undefined}
      data-unit-base={unitBase ? JSON.stringify(unitBase) : undefined}
    >
      <Described what={what} typed={typed} unitBase={unitBase} picture={picture} />
    </figure>
  )
}
