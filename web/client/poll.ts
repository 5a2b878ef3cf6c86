/**
 * A region that something is still going on in: the page is fetched again and again, and the region taken from it, until
 * it no longer asks for that (the address is in `data-poll-url`); then what depends on it (ids in `data-poll-end`) is taken,
 * too. What the member is typing elsewhere on the page stays.
 */
export function startPoll(region: HTMLElement, enhance: (root: ParentNode) => void): void {
  const everyMs = Number(region.dataset.poll)
  if (!region.id || !(everyMs > 0)) return
  setTimeout(async () => {
    if (!region.isConnected) return
    const answer = await fetch(region.dataset.pollUrl ?? location.href, { headers: { accept: 'text/html' } }).catch(
      () => null,
    )
    // The network was away: it may be back the next time.
    if (answer === null) return startPoll(region, enhance)
    const page = answer.ok ? new DOMParser().parseFromString(await answer.text(), 'text/html') : null
    const fresh = page?.getElementById(region.id)
    if (!page || !fresh) return
    const after = fresh.dataset.poll ? [] : (region.dataset.pollEnd ?? '').split(' ')
    for (const id of after) take(id, page, enhance)
    region.replaceWith(fresh)
    enhance(fresh)
    startPoll(fresh, enhance)
  }, everyMs)
}

/** Leaves alone what the member is at just now. */
function take(id: string, page: Document, enhance: (root: ParentNode) => void): void {
  const [stale, fresh] = [document, page].map((from) => from.getElementById(id))
  if (!stale || !fresh || stale.contains(document.activeElement)) return
  stale.replaceWith(fresh)
  enhance(fresh)
}
