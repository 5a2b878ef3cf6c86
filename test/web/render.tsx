import type { ComponentChildren } from 'preact'
import { renderToString } from 'preact-render-to-string'
import { type Reader, ReaderContext } from '../../web/parts/reader.tsx'

export const irishReader: Reader = { locale: 'en-IE', today: '2026-10-25', timeZone: 'Europe/Dublin' }

/** The HTML of a part as this reader gets it. */
export function html(part: ComponentChildren, reader: Reader = irishReader): string {
  return renderToString(<ReaderContext.Provider value={reader}>{part}</ReaderContext.Provider>)
}

/** What stands on the page once the marks are gone, spaces run together. */
export function words(part: ComponentChildren, reader?: Reader): string {
  const entities: Record<string, string> = { '&amp;': '&', '&lt;': '<', '&gt;': '>', '&quot;': '"', '&#39;': "'" }
  return html(part, reader)
    .replace(/<[^>]*>/g, ' ')
    .replace(/&\w+;|&#\d+;/g, (entity) => entities[entity] ?? entity)
    .replace(/[\s\u00a0\u202f]+/g, ' ')
    .trim()
}
