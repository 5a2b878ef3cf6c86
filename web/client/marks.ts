import { shape, withAttributes } from './element.ts'

/** Two taps on a picture write where they were into the fields of the form on its page, the third begins anew. */
export function startMarks(picture: SVGSVGElement): void {
  let second = false
  picture.addEventListener('click', ({ clientX, clientY }) => {
    const { left, top, width, height } = picture.getBoundingClientRect()
    const place = second ? '2' : '1'
    write(`x${place}`, (100 * (clientX - left)) / width)
    write(`y${place}`, (100 * (clientY - top)) / height)
    mark(picture, place, (clientX - left) / width, (clientY - top) / height)
    second = !second
  })
  for (const words of document.querySelectorAll<HTMLElement>('.with-script')) words.style.display = 'inline'
}

function write(name: string, value: number): void {
  const field = document.querySelector<HTMLInputElement>(`input[name="${name}"]`)
  if (field) field.value = value.toFixed(1)
}

/** A dot where the tap was. */
function mark(picture: SVGSVGElement, place: string, x: number, y: number): void {
  const { width, height } = picture.viewBox.baseVal
  const dot =
    picture.querySelector(`[data-mark="${place}"]`) ??
    picture.appendChild(shape('circle', { 'data-mark': place, class: 'laid-dot' }))
  withAttributes(dot, { cx: x * width, cy: y * height, r: width / 90 })
}
