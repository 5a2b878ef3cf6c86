import type { ComponentChildren, VNode } from 'preact'
import { renderToString } from 'preact-render-to-string'
import type { Assets } from './assets.ts'
import { CautionLine } from './parts/caution.tsx'
import { HatchPatterns } from './parts/hatching.tsx'
import { Notice } from './parts/notice.tsx'
import { type Reader, ReaderContext } from './parts/reader.tsx'

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
  notice?: ComponentChildren
  children: ComponentChildren
}

/** The whole document around a page. */
export function Layout({ title, heading, lead, notice, children, ...frame }: LayoutProps) {
  return (
    <ReaderContext.Provider value={frame.reader}>
      <html lang="en">
        <head>
          <meta charSet="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta name="color-scheme" content="light dark" />
          <title>{`${title} · ${frame.groupName}`}</title>
          <link rel="icon" href={icon} />
          <link rel="stylesheet" href={frame.assets.css} />
          <script type="module" src={frame.assets.js} />
        </head>
        <body>
          <a class="skip-link" href="#main">
            Skip to the content
          </a>
          <HatchPatterns />
          <Masthead {...frame} />
          <main id="main" tabIndex={-1}>
            {notice && <Notice>{notice}</Notice>}
            <div class="page-head">
              <h1>{heading ?? title}</h1>
              {lead && <p class="lead">{lead}</p>}
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
        </body>
      </html>
    </ReaderContext.Provider>
  )
}

/** The page as it is sent. */
export function documentOf(page: VNode): string {
  return `<!doctype html>${renderToString(page)}`
}

function Masthead({ me, groupName, path }: Frame) {
  return (
    <header class="masthead">
      <div class="masthead-inner">
        <p class="masthead-name">
          <a href="/">{groupName}</a>
          <small>Understudy</small>
        </p>
        {me ? (
          <>
            <a class="button masthead-report" href="/reports/new" aria-current={current('/reports/new', path)}>
              Report a print
            </a>
            {/* A popover needs no script; on a wide page the style shows it as a plain row and hides its button. */}
            <button type="button" class="button masthead-menu" popoverTarget="menu">
              Menu
            </button>
            <div id="menu" popover="auto" class="menu">
              <nav aria-label="Main">
                <ul>
                  {placesFor(me).map(([href, words]) => (
                    <li key={href}>
                      <a href={href} aria-current={current(href, path)}>
                        {words}
                      </a>
                    </li>
                  ))}
                </ul>
              </nav>
              <form class="sign-out" method="post" action="/sign-out">
                <a href="/me">{me.name}</a>
                <button type="submit" class="button">
                  Sign out
                </button>
              </form>
            </div>
          </>
        ) : (
          <a class="button masthead-sign-in" href="/sign-in" aria-current={current('/sign-in', path)}>
            Sign in
          </a>
        )}
      </div>
    </header>
  )
}

function placesFor(me: Me): [string, string][] {
  const places: [string, string][] = [
    ['/', 'Requests'],
    ['/units', 'Units'],
    ['/files', 'Files'],
    ['/rosters', 'Rosters'],
    ['/reports/new', 'Report a print'],
    ['/printers', 'Printers'],
    ['/archive', 'My files'],
    ['/members', 'Members'],
  ]
  if (me.role !== 'member') places.push(['/settings', 'Settings'])
  places.push(['/help', 'Help'])
  return places
}

/** `page` on the place itself, `true` on what lies under it; the requests are at the root. */
function current(href: string, path: string): 'page' | 'true' | undefined {
  if (href === path) return 'page'
  const folder = href === '/' ? '/requests/' : `${href}/`
  return path.startsWith(folder) ? 'true' : undefined
}

// A page with a folded corner and three ruled lines; data: needs no file and no second request.
const icon = `data:image/svg+xml,${encodeURIComponent(
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><path d="M6 3h14l6 6v20H6z" fill="#f6f1e4" stroke="#22384c" stroke-width="2"/><path d="M11 3v26" stroke="#9c3a22"/><path d="M14 14h9M14 19h9M14 24h6" stroke="#22384c" stroke-width="2"/></svg>',
)}`
