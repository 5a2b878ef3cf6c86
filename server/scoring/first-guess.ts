// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { addMessage, linkSize, type Network, siteSize } from './network.ts'

/**
 * Gives every site that no fit has visited yet a message to start from: one copy, passed or failed by each stage as far
 * as the priors and what was seen tell. Without it every good copy would count in the first sweep and no failed one, all
 * would look nearly perfect, and it would take half a dozen sweeps to come down from there.
 *
 * @returns these sites
 */
export function guessMessages(network: Network): number[] {
  const guessed: number[] = []
  for (let site = 0; site < network.sites.length / siteSize; site++) {
    if (isVisited(network, site)) continue
    guessMessage(network, site)
    addMessage(network, site)
    guessed.push(site)
  }
  return guessed
}

function isVisited({ sites }: Network, site: number): boolean {
  const at = siteSize * site
  for (let part = at; part < at + 6; part++) if (sites[part] !== 0) return true
  return false
}

/** The stages' shares in the blame are added up over the sets of stages that may have failed, by bit mask. */
function guessMessage({ prior, sites, links, chances }: Network, site: number): void {
  const link = linkSize * site
  let sum = 0
  let [file, machine, plate] = [0, 0, 0]
  for (let failed = 1; failed < 8; failed++) {
    const chance =
      chances[links[link + 3]! + failed]! *
      prior[links[link]! + (failed & 1)]! *
      prior[links[link + 1]! + ((failed >> 1) & 1)]! *
      prior[links[link + 2]! + (failed >> 2)]!
    sum += chance
    if (failed & 1) file += chance
    if (failed & 2) machine += chance
    if (failed & 4) plate += chance
  }
  const at = siteSize * site
  sites[at] = 1 - file / sum
  sites[at + 1] = file / sum
  sites[at + 2] = 1 - machine / sum
  sites[at + 3] = machine / sum
  sites[at + 4] = 1 - plate / sum
  sites[at + 5] = plate / sum
}
