import type { ComponentChildren, VNode } from 'preact'
import { renderToString } from 'preact-render-to-string'
import type { Assets } from './assets.ts'
import { CautionLine, Notice } from './parts/blocks.tsx'
import { HatchPatterns } from './parts/hatching.tsx'
import { type Reader, ReaderContext } from './parts/reader.tsx'
import { remembered } from './parts/remembered.tsx'

/** Who is signed in, as far as the frame of a page cares. */
export interface Me {
  id: string
  name: string
  role: 'member' | 'steward' | 'owner'
}

/** What a route knows before it knows its page; the same on every page. */
export interface Frame {
  me: Me | null
  groupName: string
  assets: Assets
  /** Whether this browser has nothing of ours yet. */
  isFirst: boolean
  reader: Reader
  /** Path of this page, to mark where one is. */
  path: string
}

export interface LayoutProps extends Frame {
  title: string
  /** Shown instead of the title at the head of the page. */
  heading?: ComponentChildren
  /** One or two sentences under the heading. */
  lead?: ComponentChildren
  /** What the page is about, drawn or photographed, before the heading. */
  drawing?: ComponentChildren
  /** The one number that the page is about, and its main button, at the far side of the heading. */
  sum?: ComponentChildren
  notice?: ComponentChildren
  children: ComponentChildren
}

/** The whole document around a page. */
export function Layout({ title, heading, lead, drawing, sum, notice, children, ...frame }: LayoutProps) {
  return (
    <ReaderContext.Provider value={frame.reader}>
      <html lang="en" data-member={frame.me?.id}>
        <head>
          <meta charSet="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta name="color-scheme" content="light dark" />
          <title>{`${title} · ${frame.groupName}`}</title>
          <meta name="theme-color" content="#dde1dd" media="(prefers-color-scheme: light)" />
          <meta name="theme-color" content="#101413" media="(prefers-color-scheme: dark)" />
          <link rel="icon" href={icon} />
          <link rel="apple-touch-icon" href={frame.assets.icon} />
          <link rel="manifest" href={frame.assets.app} />
          {frame.assets.fonts.map((font) => (
            <link key={font} rel="preload" href={font} as="font" type="font/woff2" crossOrigin="anonymous" />
          ))}
          {frame.isFirst ? (
            <style dangerouslySetInnerHTML={{ __html: frame.assets.style }} />
          ) : (
            <link rel="stylesheet" href={frame.assets.css} />
          )}
          <script type="module" src={frame.assets.js} />
        </head>
        <body>
          <a class="skip-link" href="#main">
            Skip to the content
          </a>
          <Top me={frame.me && meOf(frame.me)} groupName={frame.groupName} path={frame.path} />
          <main id="main" tabIndex={-1}>
            {notice && <Notice>{notice}</Notice>}
            <div class="page-head">
              {drawing && <div class="head-drawing">{drawing}</div>}
              <div class="head-words">
                <h1>{heading ?? title}</h1>
                {lead && <p class="lead">{lead}</p>}
              </div>
              {sum && <div class="head-sum">{sum}</div>}
            </div>
            {children}
          </main>
          <footer class="page-foot">
            <CautionLine />
            <p>
              {frame.groupName === 'Understudy' ? 'Understudy.' : `Understudy, for ${frame.groupName}.`}{' '}
              <a href="/help">Help</a> <a href="/api">API</a>
            </p>
          </footer>
          {/* For the pages to come: what is for paper alone holds nothing up. */}
          {frame.isFirst && <link rel="stylesheet" href={frame.assets.css} media="print" />}
        </body>
      </html>
    </ReaderContext.Provider>
  )
}

/** The page as it is sent. */
export function documentOf(page: VNode): string {
  return `<!doctype html>${renderToString(page)}`
}

/** A viewer has more than the frame shows. */
const meOf = ({ id, name, role }: Me): Me => ({ id, name, role })

/** Above every page. */
const Top = remembered(
  (top: Pick<Frame, 'me' | 'groupName' | 'path'>) => (
    <>
      <HatchPatterns />
      <Masthead {...top} />
    </>
  ),
  200,
)

function Masthead({ me, groupName, path }: Pick<Frame, 'me' | 'groupName' | 'path'>) {
  return (
    <header class="masthead">
      <div class="masthead-inner">
        <p class="masthead-name">
          <a href="/">{groupName}</a>
        </p>
        {me ? (
          <>
            <nav class="places" aria-label="Main">
              <Places places={places} path={path} />
            </nav>
            <OwnPlaces me={me} path={path} />
          </>
        ) : (
          <a class="masthead-sign-in" href="/sign-in" aria-current={current('/sign-in', path)}>
            Sign in
          </a>
        )}
      </div>
    </header>
  )
}

/** What stands behind one's name. A popover needs no script. */
function OwnPlaces({ me, path }: { me: Me; path: string }) {
  return (
    <>
      <button type="button" class="own-name" popoverTarget="own-places">
        {me.name}
      </button>
      <div id="own-places" class="own-places" popover="auto">
        <nav aria-label="Yours and the group's">
          <Places places={ownPlaces} path={path} />
        </nav>
        <form class="sign-out" method="post" action="/sign-out">
          <button type="submit" class="button">
            Sign out
          </button>
        </form>
      </div>
    </>
  )
}

function Places({ places, path }: { places: Place[]; path: string }) {
  return (
    <ul>
      {places.map(([href, words]) => (
        <li key={href}>
          <a href={href} aria-current={current(href, path)}>
            {words}
          </a>
        </li>
      ))}
    </ul>
  )
}

type Place = readonly [href: string, words: string]

/** Five words of the job. */
const places: Place[] = [
  ['/', 'Requests'],
  ['/units', 'Units'],
  ['/rosters', 'Rosters'],
  ['/printers', 'At the printer'],
  ['/archive', 'My shelf'],
]

const ownPlaces: Place[] = [
  ['/me', 'About you'],
  ['/members', 'Members'],
  ['/settings', 'Settings'],
  ['/help', 'Help'],
]

/** What lies under a place whose address does not say so. */
const under: Record<string, string[]> = {
  '/': ['/requests/'],
  '/units': ['/units/', '/files'],
  '/printers': ['/printers/', '/reports', '/plates', '/resins'],
}

/** `page` on the place itself, `true` on what lies under it. */
function current(href: string, path: string): 'page' | 'true' | undefined {
  if (href === path) return 'page'
  return (under[href] ?? [`${href}/`]).some((folder) => path.startsWith(folder)) ? 'true' : undefined
}

// A shadow on its base; data: needs no file and no second request.
const icon = `data:image/svg+xml,${encodeURIComponent(
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" fill="#dde1dd"/><ellipse cx="16" cy="27" rx="12" ry="3.6" fill="#86918c" stroke="#171c1b"/><path d="M10 27c0-9 1-13 3-15a4 4 0 1 1 6 0c2 2 3 6 3 15zM24 5l1.6 4h-1v18h-1.2V9h-1z" fill="#171c1b"/></svg>',
)}`
