import { Described, type DescribedProps, type Typed } from './described.tsx'
import { useForm } from './form.tsx'
import { useReader } from './reader.tsx'

/** The place of the picture in a form, drawn by what its fields hold; a script draws it anew with each change. */
export function DescribedHere({
  what,
  prefix = '',
  unitBase = null,
  picture = null,
}: Pick<DescribedProps, 'what' | 'unitBase' | 'picture'> & { prefix?: string }) {
  const { values } = useForm()
  const { locale } = useReader()
  const typed: Typed = (field) => {
    const name = `${prefix}${field}`
    return Object.hasOwn(values, name) ? ([values[name]].flat()[0] ?? '') : ''
  }
  return (
    <figure
      class="described"
      data-described={what}
      data-prefix={prefix}
      data-locale={locale}
      data-picture={picture ? JSON.stringify(picture) : undefined}
      data-unit-base={unitBase ? JSON.stringify(unitBase) : undefined}
    >
      <Described what={what} typed={typed} locale={locale} unitBase={unitBase} picture={picture} />
    </figure>
  )
}
