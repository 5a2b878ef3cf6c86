// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { stageSets } from './labels.ts'
import { addMessage, linkSize, messageOf, type Network, siteSize } from './network.ts'

const blame = new Float64Array(3)

/**
 * Gives every site that no fit has visited yet a message to start from: one copy, passed or failed by each stage as far
 * as the priors and what was seen tell. Without it every good copy would count in the first sweep and no failed one, all
 * would look nearly perfect, and it would take half a dozen sweeps to come down from there.
 */
export function guessMessages(network: Network): void {
  for (let site = 0; site < network.sites.length / siteSize; site++) {
    if (messageOf(network, site).every((part) => part === 0)) guessMessage(network, site)
  }
}

function guessMessage(network: Network, site: number): void {
  shareBlame(network, site)
  for (let stage = 0; stage < 3; stage++) {
    network.sites[siteSize * site + 2 * stage] = 1 - blame[stage]!
    network.sites[siteSize * site + 2 * stage + 1] = blame[stage]!
  }
  addMessage(network, site)
}

/** Chance that each stage is among those that failed on one copy, going by the priors. */
function shareBlame({ prior, links, chances }: Network, site: number): void {
  const link = linkSize * site
  let sum = 0
  blame.fill(0)
  for (let failed = 1; failed < stageSets; failed++) {
    let chance = chances[links[link + 3]! + failed]!
    for (let stage = 0; stage < 3; stage++) chance *= prior[links[link + stage]! + ((failed >> stage) & 1)]!
    sum += chance
    for (let stage = 0; stage < 3; stage++) blame[stage]! += ((failed >> stage) & 1) * chance
  }
  for (let stage = 0; stage < 3; stage++) blame[stage]! /= sum
}
