import { emptySites, type Message, placeSite, type Sites } from './network.ts'

const pieceSize = 8192

/**
 * Sites in the order in which they come, their sets, periods and plates counted from 0 each. There may be a million: so
 * they go into flat arrays, and into pieces, since one array that grows is there twice whenever it is copied.
 */
export class SiteList {
  readonly #pieces: Sites[] = []
  #count = 0

  get count(): number {
    return this.#count
  }

  /** @param nodes set, period and plate; the rest is as for `placeSite` */
  add(
    nodes: readonly [set: number, period: number, plate: number],
    row: number,
    weights: readonly [weight: number, fileWeight: number],
    message: Message | null,
  ): void {
    const place = this.#count++ % pieceSize
    if (place === 0) this.#pieces.push(emptySites(pieceSize))
    placeSite(this.#pieces[this.#pieces.length - 1] as Sites, place, nodes, row, weights, message)
  }

  /** @param visit is told the piece, where in it the site is, and how many came before */
  forEach(visit: (piece: Sites, at: number, site: number) => void): void {
    this.#pieces.forEach((piece, index) => {
      const first = index * pieceSize
      for (let site = first; site < Math.min(this.#count, first + pieceSize); site++) visit(piece, site - first, site)
    })
  }
}
