import { createContext } from 'preact'
import { useContext } from 'preact/hooks'

/**
 * For whom a page is written: how the group writes numbers, which day it is for it, and where its days begin.
 * Handed in by the route, so that no part asks the machine's clock or time zone.
 */
export interface Reader {
  /** BCP 47 tag for numbers and money; words and dates stay English. */
  locale: string
  /** The reader's day, `YYYY-MM-DD`. */
  today: string
  /** IANA name, for instants only; plain days have no zone. */
  timeZone: string
}

export const ReaderContext = createContext<Reader | null>(null)

/** @throws Error outside `Layout` or a `ReaderContext.Provider`: a part must not guess what day it is */
export function useReader(): Reader {
  const reader = useContext(ReaderContext)
  if (reader === null) throw new Error('no ReaderContext around this part')
  return reader
}
