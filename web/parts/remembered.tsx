import type { FunctionComponent } from 'preact'
import { useContext } from 'preact/hooks'
import { jsxTemplate } from 'preact/jsx-runtime'
import { renderToString } from 'preact-render-to-string'
import { recent } from './kept.ts'
import { ReaderContext } from './reader.tsx'

/** What JSON tells apart, all the way down: no function, no children, no map or date. */
type Plain<T> = T extends string | number | boolean | null | undefined
  ? T
  : T extends ((...args: never) => unknown) | Date | ReadonlySet<unknown> | ReadonlyMap<unknown, unknown>
    ? never
    : { [Key in keyof T]: Key extends 'children' ? never : Plain<T[Key]> }

/**
 * A part of a page that is written once for the same props and reader: most of what a page shows is as it was when somebody
 * looked last, and writing it takes ten times as long as finding it. Since all that it shows is in its props, nobody sees
 * what is out of date or somebody else's. It takes no children, and no context but the reader.
 *
 * @param most so many are kept, those that were shown last
 */
export function remembered<Props extends object>(
  Part: FunctionComponent<Props>,
  most: Props extends Plain<Props> ? number : never,
): FunctionComponent<Props> {
  const keep = recent<string>(most)
  return (props) => {
    const reader = useContext(ReaderContext)
    const write = () => {
      const html = renderToString(
        <ReaderContext.Provider value={reader}>
          <Part {...props} />
        </ReaderContext.Provider>,
      )
      // One piece: as it was put together, it would keep all of its pieces.
      return Buffer.from(html).toString()
    }
    return jsxTemplate([keep(JSON.stringify([reader, props]), write)])
  }
}
