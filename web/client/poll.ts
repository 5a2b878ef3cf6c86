/**
 * A region that something is still going on in: the page is fetched again and again, and the region taken from it, until
 * it no longer asks for that. What the member is typing elsewhere on the page stays.
 */
export function startPoll(region: HTMLElement, enhance: (root: ParentNode) => void): void {
  const everyMs = Number(region.dataset.poll)
  if (!region.id || !(everyMs > 0)) return
  setTimeout(async () => {
    if (!region.isConnected) return
    const answer = await fetch(location.href, { headers: { accept: 'text/html' } }).catch(() => null)
    // The network was away: it may be back the next time.
    if (answer === null) return startPoll(region, enhance)
    const page = answer.ok ? new DOMParser().parseFromString(await answer.text(), 'text/html') : null
    const fresh = page?.getElementById(region.id)
    if (!fresh) return
    region.replaceWith(fresh)
    enhance(fresh)
    startPoll(fresh, enhance)
  }, everyMs)
}
