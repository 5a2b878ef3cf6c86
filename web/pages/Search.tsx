import { ButtonLink } from '../parts/button.tsx'
import { EmptyState } from '../parts/empty-state.tsx'
import { Section } from '../parts/section.tsx'
import { SearchForm } from './Home.tsx'

interface Props {
  q: string
  units: { id: string; name: string; setting: string; scaleMm: number; standIns: number }[]
  files: { id: string; title: string; sculptor: { name: string | null } }[]
}

/** What comes near the words: units by name and alias, files by title and sculptor. */
export function Search({ q, units, files }: Props) {
  return (
    <>
      <SearchForm q={q} />
      {q !== '' && units.length + files.length === 0 && (
        <EmptyState words={`Nothing is called anything like “${q}”.`}>
          <div class="actions">
            <ButtonLink href={`/requests/new`}>Ask the group for a stand-in</ButtonLink>
            <a href={`/units/new?name=${encodeURIComponent(q)}`}>Add it as a unit</a>
            <a href="/files/new">Add a file</a>
          </div>
        </EmptyState>
      )}
      {units.length > 0 && (
        <Section heading="Units">
          <ul class="plain-list">
            {units.map(({ id, name, setting, scaleMm, standIns }) => (
              <li key={id}>
                <a href={`/units/${id}`}>{name}</a>{' '}
                <span class="quiet">
                  {[setting, `${scaleMm} mm`, standIns === 1 ? '1 stand-in' : `${standIns} stand-ins`]
                    .filter(Boolean)
                    .join(', ')}
                </span>
              </li>
            ))}
          </ul>
        </Section>
      )}
      {files.length > 0 && (
        <Section heading="Files">
          <ul class="plain-list">
            {files.map(({ id, title, sculptor }) => (
              <li key={id}>
                <a href={`/files/${id}`}>{title}</a>{' '}
                <span class="quiet">{sculptor.name === null ? 'sculptor unnamed' : `by ${sculptor.name}`}</span>
              </li>
            ))}
          </ul>
        </Section>
      )}
    </>
  )
}
