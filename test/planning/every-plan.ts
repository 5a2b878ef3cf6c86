import type { Candidate, Entry, Instance, Offer } from '../../server/planning/instance.ts'

export type Best = { uncovered: number; objective: number; plans: number }

/**
 * The best plan of a small roster by trying every set of offers under every theme. Written from what the options mean,
 * without any of the planning's code: nothing is left out beforehand, pruned or bounded.
 *
 * @returns the fewest uncovered entries, the least objective of such plans, and how many were tried
 */
export function bestOfEveryPlan(instance: Instance): Best {
  const { entries, offers, options } = instance
  const paid = offers.filter((offer) => offer.priceMinor > 0 && isAllowedOffer(offer, instance))
  const free = offers.filter((offer) => offer.priceMinor === 0 && isAllowedOffer(offer, instance))
  const themes: (string | null)[] = [null, ...themesOf(instance)]
  const best: Best = { uncovered: Number.POSITIVE_INFINITY, objective: Number.POSITIVE_INFINITY, plans: 0 }
  for (let set = 0; set < 2 ** paid.length; set++) {
    const bought = paid.filter((_, place) => (set >> place) & 1)
    const price = bought.reduce((sum, { priceMinor }) => sum + priceMinor, 0)
    if (price > (options.budgetMinor ?? Number.POSITIVE_INFINITY)) continue
    if (!differs(bought, instance)) continue
    const within = new Set([...bought, ...free].flatMap(({ fileIds }) => fileIds))
    for (const theme of themes) {
      best.plans++
      const costs = entries.map((entry) => cheapestFor(entry, within, theme, instance))
      const uncovered = costs.filter((cost) => cost === null).length
      const objective = costs.reduce<number>((sum, cost) => sum + (cost ?? 0), price)
      if (uncovered < best.uncovered || (uncovered === best.uncovered && objective < best.objective)) {
        best.uncovered = uncovered
        best.objective = objective
      }
    }
  }
  return best
}

/** Looks, print and bonuses of the best way to print an entry from these files; null where none will do. */
function cheapestFor(entry: Entry, within: Set<string>, theme: string | null, instance: Instance): number | null {
  const usable = instance.candidates.filter((candidate) => {
    return candidate.entryId === entry.id && within.has(candidate.fileId) && isAllowed(candidate, entry, instance)
  })
  const worth = (candidate: Candidate) => costOf(candidate, entry, theme, instance)
  let best: number | null = null
  for (const one of usable) {
    best = Math.min(best ?? Number.POSITIVE_INFINITY, worth(one))
    for (const other of usable) {
      if (!entry.split || one.fileId === other.fileId) continue
      for (let models = 1; models < entry.models; models++) {
        const least = entry.split.minPart * entry.models - 1e-9
        if (models < least || entry.models - models < least) continue
        const mixed = (models * worth(one) + (entry.models - models) * worth(other)) / entry.models
        best = Math.min(best, mixed - entry.split.bonusMinor)
      }
    }
  }
  return best
}

function costOf({ printMinor, share, fileId }: Candidate, entry: Entry, theme: string | null, instance: Instance) {
  const { looksWorthMinor, theme: wish } = instance.options
  const looks = Math.round(entry.models * looksWorthMinor * (entry.weight ?? 1) * (1 - share))
  const file = instance.files.find(({ id }) => id === fileId)
  const fits = theme !== null && file?.styleTags.includes(theme)
  return printMinor + looks - (fits && wish ? wish.bonusMinor : 0)
}

function themesOf({ files, options }: Instance): string[] {
  if (!options.theme) return []
  const all = [...new Set(files.flatMap(({ styleTags }) => styleTags))]
  return all.filter((tag) => !options.theme?.styleTags || options.theme.styleTags.includes(tag))
}

export function isAllowed(candidate: Candidate, entry: Entry, { files, options }: Instance): boolean {
  const { exclude = {}, avoidBlocked = false } = options
  const sculptor = files.find(({ id }) => id === candidate.fileId)?.sculptorId ?? ''
  if (entry.pinnedFileId !== undefined && entry.pinnedFileId !== candidate.fileId) return false
  if (exclude.sculptorIds?.includes(sculptor) || exclude.fileIds?.includes(candidate.fileId)) return false
  if (avoidBlocked && candidate.blocked) return false
  if (candidate.share < (entry.minShare ?? 0)) return false
  return !exclude.pairs?.some((pair) => pair.entryId === entry.id && pair.fileId === candidate.fileId)
}

export function isAllowedOffer({ id, kind, membership }: Offer, { options }: Instance): boolean {
  if (options.allowMemberships === false && kind === 'membership') return false
  const excluded = options.exclude?.offerIds ?? []
  return !excluded.includes(id) && !(membership && excluded.includes(membership.id))
}

/** Whether enough offers of each plan to differ from are not bought. */
export function differs(bought: readonly { id: string }[], { offers, options }: Instance): boolean {
  return (options.differFrom ?? []).every(({ offerIds, dropAtLeast }) => {
    const paid = offers.filter(({ id, priceMinor }) => offerIds.includes(id) && priceMinor > 0)
    const kept = paid.filter(({ id }) => bought.some((offer) => offer.id === id))
    return kept.length <= Math.max(0, paid.length - dropAtLeast)
  })
}
