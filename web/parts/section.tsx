import type { ComponentChildren } from 'preact'

interface SectionProps {
  heading: string
  /** Target of a link or of the script that swaps a region. */
  id?: string
  children: ComponentChildren
}

/** One part of a page under its own ruled heading. */
export function Section({ heading, id, children }: SectionProps) {
  return (
    <section class="section" id={id}>
      <h2>{heading}</h2>
      {children}
    </section>
  )
}

/** Main column and, beside it on a wide page, notes; below it on a phone. */
export function Columns({ main, aside }: { main: ComponentChildren; aside: ComponentChildren }) {
  return (
    <div class="columns">
      <div class="stack">{main}</div>
      <div class="stack">{aside}</div>
    </div>
  )
}

/** Facts about one thing, run on as on a label. A fact without a value is left out. */
export function Facts({ facts }: { facts: [label: string, value: ComponentChildren][] }) {
  return (
    <dl class="facts">
      {facts
        .filter(([, value]) => value !== null && value !== undefined && value !== '' && value !== false)
        .map(([label, value]) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
    </dl>
  )
}
