import { shape } from './element.ts'

const perRow = 6
const size = 34
/** More are not counted at a glance. */
const most = 60

/**
 * What is being told of a print, drawn beside its form: a foot print a copy, crossed out where it failed. For the eye only, and
 * only where there is room beside the form: the numbers say the same.
 */
export function startCopies(picture: SVGElement): void {
  const form = picture.closest('form')
  const print = picture.dataset.copies
  const number = (field: string) => Number(form?.querySelector<HTMLInputElement>(`[name="${print}.${field}"]`)?.value)
  const draw = () => {
    const [tried, good] = [number('tried'), number('good')]
    const count = tried > 0 && tried <= most ? Math.floor(tried) : 0
    const isTold = form?.querySelector<HTMLInputElement>(`[name="${print}.good"]`)?.value.trim() !== ''
    picture.setAttribute('height', String(Math.ceil(count / perRow) * size))
    picture.replaceChildren(...Array.from({ length: count }, (_, index) => copy(index, isTold && index >= good)).flat())
  }
  form?.addEventListener('input', draw)
  // Buttons beside a number change it without a word.
  form?.addEventListener('click', () => queueMicrotask(draw))
  draw()
}

function copy(index: number, fails: boolean): SVGElement[] {
  const [x, y] = [(index % perRow) * size, Math.floor(index / perRow) * size]
  const foot = { cx: x + size / 2, cy: y + size / 2, r: size / 2 - 3, fill: 'url(#hatch-resin)', class: 'plate-copy' }
  const cross = {
    d: `M${x + 6} ${y + 6}l${size - 12} ${size - 12}m0 ${12 - size}l${12 - size} ${size - 12}`,
    class: 'plate-fails',
  }
  return [shape('circle', foot), ...(fails ? [shape('path', cross)] : [])]
}
