import { emptySites, type Message, placeSite, type Sites } from './network.ts'

/** Some sites in flat arrays, which they fill from the front, and the reports that they came from. */
export type Piece = Sites & { readonly reportIds: (string | undefined)[] }

const pieceSize = 1024

/**
 * Sites in the order in which they come, their sets, periods and plates counted from 0 each. There may be a million: so
 * they go into flat arrays, and into pieces, since one array that grows is there twice whenever it is copied.
 */
export class SiteList {
  readonly pieces: Piece[] = []
  #last: Piece = { ...emptySites(0), reportIds: [] }

  /** @param nodes set, period and plate; the rest is as for `placeSite` */
  add(
    reportId: string | undefined,
    nodes: readonly [set: number, period: number, plate: number],
    row: number,
    weights: readonly [weight: number, fileWeight: number],
    message: Message | null,
  ): void {
    if (this.#last.reportIds.length % pieceSize === 0) {
      this.#last = { ...emptySites(pieceSize), reportIds: [] }
      this.pieces.push(this.#last)
    }
    placeSite(this.#last, this.#last.reportIds.length, nodes, row, weights, message)
    this.#last.reportIds.push(reportId)
  }
}
