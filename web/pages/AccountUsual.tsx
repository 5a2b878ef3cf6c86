import { Beside } from '../parts/blocks.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { type Bottle, Paid } from '../parts/money.tsx'
import { MachinePlate, roomWords } from '../parts/plate-drawing.tsx'

export interface Usual {
  printer: {
    id: string
    name: string
    plateMm: [width: number, depth: number]
    buildHeightMm: number
    lastPrintedOn: string | null
  } | null
  resin: (Bottle & { id: string; name: string; lastPrintedOn: string | null }) | null
}

/** What one usually prints on and with, beside the form that chooses it. */
export function AccountUsual({ printer, resin }: Usual) {
  return (
    <Beside>
      {printer ? (
        <figure class="usual">
          <MachinePlate plateMm={printer.plateMm} />
          <figcaption>
            <a href={`/printers/${printer.id}`}>{printer.name}</a>
            <small>
              {roomWords(printer.plateMm, printer.buildHeightMm)}
              <Last on={printer.lastPrintedOn} />
            </small>
          </figcaption>
        </figure>
      ) : (
        <p>
          No usual printer yet. <a href="/printers/new">Add yours</a>, and reports start from it.
        </p>
      )}
      {resin ? (
        <p class="usual">
          <a href={`/resins/${resin.id}/edit`}>{resin.name}</a>, <Paid {...resin} />
          <small>
            Your answers and plans are priced with it
            <Last on={resin.lastPrintedOn} />
          </small>
        </p>
      ) : (
        <p>
          No usual resin: the group’s price counts. <a href="/resins/new">Add a bottle</a>, and yours does.
        </p>
      )}
    </Beside>
  )
}

function Last({ on }: { on: string | null }) {
  if (on === null) return <>; not printed with yet</>
  return (
    <>
      ; last used <DateWords on={on} as="distance" />
    </>
  )
}
