import type { ComponentChildren } from 'preact'
import { ButtonLink, EmptyState, Section } from '../parts/blocks.tsx'
import { LookUp } from '../parts/button-form.tsx'
import { counted } from '../parts/numbers.ts'
import { type FileRow, FileRows } from './Files.tsx'
import { lookAnythingUp } from './Home.tsx'
import { type UnitRow, UnitRows } from './Units.tsx'

interface Props {
  q: string
  units: UnitRow[]
  /** Whom the reader may know of. */
  sculptors: { id: string; name: string; files: number }[]
  files: FileRow[]
  /** The one scale that the files' figures are drawn to. */
  pxPerMm: number
}

/** What comes near the words: units by name and alias, files by title and sculptor; first what is called exactly that. */
export function Search({ q, units, sculptors, files, pxPerMm }: Props) {
  const kinds = [
    kind('Units', q, units, namesOfUnit, (found) => (
      <>
        <UnitRows units={found} />
        <p>
          <a href={`/units?q=${encodeURIComponent(q)}`}>Show these units with their prices</a>
        </p>
      </>
    )),
    kind(
      'Sculptors',
      q,
      sculptors,
      ({ name }) => [name],
      (found) => <Sculptors found={found} />,
    ),
    kind(
      'Files',
      q,
      files,
      ({ title }) => [title],
      (found) => <FileRows files={found} pxPerMm={pxPerMm} />,
    ),
  ].filter(({ isEmpty }) => !isEmpty)
  return (
    <>
      <LookUp {...lookAnythingUp} q={q} />
      {q !== '' && kinds.length === 0 && (
        <EmptyState words={`Nothing is called anything like “${q}”.`}>
          <div class="actions">
            <ButtonLink href={`/requests/new?name=${encodeURIComponent(q)}`}>Ask the group for a stand-in</ButtonLink>
            <a href={`/units/new?name=${encodeURIComponent(q)}`}>Add it as a unit</a>
            <a href="/files/new">Add a file</a>
          </div>
        </EmptyState>
      )}
      {kinds
        .sort((a, b) => a.distance - b.distance)
        .map(({ heading, rows }) => (
          <Section key={heading} heading={heading}>
            {rows}
          </Section>
        ))}
    </>
  )
}

const namesOfUnit = ({ name, aliases }: { name: string; aliases: string[] }) => [name, ...aliases]

/** What was found of one kind, the nearest first, and how near that is. */
function kind<Row>(
  heading: string,
  q: string,
  found: Row[],
  namesOf: (row: Row) => string[],
  rows: (sorted: Row[]) => ComponentChildren,
) {
  const sorted = nearestFirst(q, found, namesOf)
  return {
    heading,
    isEmpty: !sorted[0],
    distance: sorted[0] ? distanceTo(q, namesOf(sorted[0])) : 0,
    rows: rows(sorted),
  }
}

function nearestFirst<Row>(q: string, rows: Row[], namesOf: (row: Row) => string[]): Row[] {
  return rows.toSorted((a, b) => distanceTo(q, namesOf(a)) - distanceTo(q, namesOf(b)))
}

const distanceTo = (q: string, names: string[]) => Math.min(...names.map((name) => distanceOf(name, q)))

const letters = new Intl.Collator('en', { sensitivity: 'base' })

/** 0 where the name is what was looked for, 1 where it begins with it, 2 where it is only like it. */
function distanceOf(name: string, q: string): number {
  if (letters.compare(name, q) === 0) return 0
  return letters.compare(name.slice(0, q.length), q) === 0 ? 1 : 2
}

function Sculptors({ found }: { found: Props['sculptors'] }) {
  return (
    <ul>
      {found.map(({ id, name, files: known }) => (
        <li key={id}>
          <a href={`/files?q=${encodeURIComponent(name)}`}>{name}</a>, {counted(known, 'file')}
        </li>
      ))}
    </ul>
  )
}
