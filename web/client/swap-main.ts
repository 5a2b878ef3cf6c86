/**
 * Puts the content of an answered page in the place of this one's, as if the browser had gone there, and leads to what is to
 * be mended. @returns the new content, or null where the answer is no page of ours
 */
export function swapMain(html: string, enhance: (root: ParentNode) => void): HTMLElement | null {
  const page = new DOMParser().parseFromString(html, 'text/html')
  const [stale, fresh] = [document.getElementById('main'), page.getElementById('main')]
  if (!stale || !fresh) return null
  stale.replaceWith(fresh)
  document.title = page.title
  enhance(fresh)
  scrollTo(0, 0)
  ;(fresh.querySelector<HTMLElement>('[data-focus]') ?? fresh).focus()
  return fresh
}
