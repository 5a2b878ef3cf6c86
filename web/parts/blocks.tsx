import { type ComponentChildren, Fragment } from 'preact'

interface Around {
  children: ComponentChildren
}

/** One part of a page under its own ruled heading. @param id target of a link or of the script that swaps a region */
export const Section = ({ heading, id, children }: Around & { heading: string; id?: string }) => (
  <section class="section" id={id}>
    <h2>{heading}</h2>
    {children}
  </section>
)

/** Main column and, beside it on a wide page, notes; below it on a phone. */
export const Columns = ({ main, aside }: { main: ComponentChildren; aside: ComponentChildren }) => (
  <div class="columns">
    <div class="stack">{main}</div>
    <div class="stack">{aside}</div>
  </div>
)

/**
 * Help with a form, or a picture of what is being described: at the form's right where there is room, else where it stands
 * in it. The form is told by its class, `form-beside`; it has one of these.
 */
export const Beside = ({ children }: Around) => (
  <div class="form-side">
    <div class="form-side-words">{children}</div>
  </div>
)

/** A long page, with links to its sections at its side. @param places the id of each section, and what it is called */
export const WithContents = ({ places, children }: Around & { places: readonly (readonly [string, string])[] }) => (
  <div class="with-contents">
    <nav class="contents-side" aria-label="On this page">
      <ul>
        {places.map(([id, name]) => (
          <li key={id}>
            <a href={`#${id}`}>{name}</a>
          </li>
        ))}
      </ul>
    </nav>
    <div class="stack">{children}</div>
  </div>
)

/** Links to the parts of a long page, before everything else. */
export const OnThisPage = ({ places }: { places: readonly (readonly [href: string, words: string])[] }) => (
  <nav aria-label="On this page" class="contents screen-only">
    {places.map(([href, words]) => (
      <a key={href} href={href}>
        {words}
      </a>
    ))}
  </nav>
)

/** More to read for who wants it: "Settle on Bog Carts". Works without script. */
export const Disclosure = ({ summary, open = false, children }: Around & { summary: string; open?: boolean }) => (
  <details class="disclosure" open={open}>
    <summary>{summary}</summary>
    <div class="disclosure-body">{children}</div>
  </details>
)

/** Where there is nothing yet: says so, and what to do about it. @param children the next step, as links or a form */
export const EmptyState = ({ words, children }: Partial<Around> & { words: string }) => (
  <div class="empty-state">
    <p class="empty-state-words">{words}</p>
    {children}
  </div>
)

interface AddableProps extends Partial<Around> {
  isEmpty: boolean
  /** What is said while nothing is known. */
  none: string
  add: [href: string, words: string]
}

/** What is known of one kind, and the way to add to it. */
export const Addable = ({ isEmpty, none, add: [href, words], children }: AddableProps) => {
  const button = <ButtonLink href={href}>{words}</ButtonLink>
  if (isEmpty) return <EmptyState words={none}>{button}</EmptyState>
  return (
    <>
      {children}
      <Actions>{button}</Actions>
    </>
  )
}

/** Pieces of a sentence one after another, with commas between. */
export const Listed = ({ pieces }: { pieces: ComponentChildren[] }) => (
  <>
    {pieces.map((piece, index) => (
      <Fragment key={index}>
        {index > 0 && ', '}
        {piece}
      </Fragment>
    ))}
  </>
)

/** "Fen Wardens, Bog Carts", each a link. @param to the list whose pages they have */
export const LinkList = ({ to, things }: { to: string; things: { id: string; name: string }[] }) => (
  <Listed pieces={things.map(({ id, name }) => <a href={`/${to}/${id}`}>{name}</a>)} />
)

/** What has just happened, once, at the top of the page that follows. */
export const Notice = ({ children }: Around) => (
  <div class="notice" role="status">
    {children}
  </div>
)

/** Facts about one thing, run on as on a label. A fact without a value is left out. */
export const Facts = ({ facts }: { facts: [label: string, value: ComponentChildren][] }) => (
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

interface ButtonProps extends Around {
  /** The one thing that the page is for; at most one a form. */
  main?: boolean | undefined
  /** Sent with the form, where a form has several buttons. */
  name?: string
  value?: string
  /** Send the form elsewhere. */
  formAction?: string
  /** What the button is about, for those who hear it out of its row: "Yes, I would field it: Marsh wardens". */
  label?: string | undefined
}

/** Sends the form around it. */
export const Button = ({ main, label, children, ...rest }: ButtonProps) => (
  <button type="submit" class={main ? 'button button-main' : 'button'} aria-label={label} {...rest}>
    {children}
  </button>
)

/** A link that looks like a thing to press: the next step of a page. */
export const ButtonLink = ({ href, main, children }: Around & { href: string; main?: boolean }) => (
  <a class={main ? 'button button-main' : 'button'} href={href}>
    {children}
  </a>
)

/** Row of buttons at the foot of a form or an entry. */
export const Actions = ({ children }: Around) => <div class="actions">{children}</div>

/** A plain link to the rest of a list. @param href of the next page; nothing is shown at the end */
export const Pager = ({ href }: { href: string | null }) =>
  href !== null && (
    <nav class="pager" aria-label="Rest of the list">
      <a class="button" rel="next" href={href}>
        Show more
      </a>
    </nav>
  )

/** Leads to a whole list as a table for other programs. @param list its path, such as `units` */
export const AsTable = ({ list, words = 'The whole list as a table (CSV)' }: { list: string; words?: string }) => (
  <p class="quiet">
    <a href={`/${list}.csv`} download>
      {words}
    </a>
  </p>
)

/** A value that is itself the way to change it, for whoever may. @param what it is of, for those who hear the page */
export function ChangeLink({
  href,
  what,
  children,
}: {
  href: string | false
  what: string
  children: ComponentChildren
}) {
  if (href === false) return <>{children}</>
  return (
    <a href={href}>
      {children}
      <span class="visually-hidden"> (change {what})</span>
    </a>
  )
}

/** The usual short caution of the trade, for pages that lead to the machine; the resin's own sheet knows more. */
export function Caution() {
  return (
    <aside class="caution" aria-label="Caution">
      <p>
        <strong>Take care.</strong> Uncured resin irritates the skin and can cause a lasting allergy; cleaning alcohol
        burns; fumes need ventilation. Wear nitrile gloves and eye protection, keep flames and children away, and cure
        leftovers and wipes before you throw them away. Your resin's safety data sheet and your local waste rules take
        precedence over anything said here.
      </p>
    </aside>
  )
}

/** The same in one line, for the foot of every page. */
export function CautionLine() {
  return (
    <p class="caution-line">
      Uncured resin irritates and sensitises skin, alcohol burns, fumes need air: gloves on, window open. The safety
      data sheet of your resin and local waste rules come first.
    </p>
  )
}

/**
 * A link that is shown once. Without script it stands in a field that is selected and copied by hand; the script puts a
 * button below that copies it.
 *
 * @param id unique on the page
 */
export function LinkToCopy({ id, label, link }: { id: string; label: string; link: string }) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <textarea id={id} rows={2} readOnly value={link} data-copy />
    </div>
  )
}
