interface Props {
  css: string
  js: string
  /** Whose report form is kept here, if anybody's. */
  memberId: string | undefined
  /** A form was sent that can't be kept. */
  isForm: boolean
}

/** What is shown in the place of a page that needs the network. Nothing in it comes from a member. */
export function offlinePage({ css, js, memberId, isForm }: Props): Response {
  const report = memberId
    ? '<p>You can still write a report. It waits on this phone until the network is back.</p><p><a class="button button-main" href="/reports/new">Report a print</a></p>'
    : ''
  const lost = isForm
    ? '<p>What you sent has not arrived. Reload this page once the network is back: your browser sends it again.</p>'
    : '<p>This page needs the network.</p><p><a class="button" href="">Try again</a></p>'
  const member = memberId ? ` data-member="${memberId}"` : ''
  const html = `<!doctype html><html lang="en"${member}><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><title>No network</title><link rel="stylesheet" href="${css}"><script type="module" src="${js}"></script></head><body><header class="masthead"><div class="masthead-inner"><p class="masthead-name"><a href="/">Understudy</a></p></div></header><main id="main" tabindex="-1"><div class="page-head"><div class="head-drawing">${cutOff}</div><div class="head-words"><h1>No network just now</h1></div></div>${report}${lost}<div data-waiting></div></main></body></html>`
  return new Response(html, {
    status: 503,
    headers: { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': policy },
  })
}

/** A figure out of reach: its outline is here, the rest is not. */
const cutOff =
  '<svg class="shadow shadow-to-print" width="77" height="88" viewBox="-17.5 -33.5 35 40" aria-hidden="true"><ellipse class="shadow-base shadow-base-own" cx="0" cy="0" rx="16" ry="5.1"/><rect class="shadow-body" x="-7" y="-32" width="14" height="32" rx="6.3"/></svg>'

/** As strict as that of any page (server/http/headers.ts). */
const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
