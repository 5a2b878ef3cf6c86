/** A picture as it was sent in, whole. */
export interface WholePicture {
  src: string
  width: number
  height: number
  alt: string
}

/** A picture with what is cut off its sides veiled, as far as that is typed. */
export function DescribedPicture({ picture, typed }: { picture: WholePicture; typed: (field: string) => string }) {
  const { src, width, height, alt } = picture
  const [left, top, right, bottom] = ['left', 'top', 'right', 'bottom'].map((side) => share(typed(`crop.${side}`)))
  const from = { x: width * (left ?? 0), y: height * (top ?? 0) }
  const kept = { width: width * (1 - (left ?? 0) - (right ?? 0)), height: height * (1 - (top ?? 0) - (bottom ?? 0)) }
  const isCut = kept.width < width || kept.height < height
  return (
    <>
      <svg class="cut-picture" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img">
        <title>{isCut ? `${alt}, with what is cut off veiled` : alt}</title>
        <image href={src} width={width} height={height} />
        {isCut && kept.width > 0 && kept.height > 0 && (
          <>
            <path
              class="cut-off"
              fill-rule="evenodd"
              d={`M0 0H${width}V${height}H0ZM${from.x} ${from.y}h${kept.width}v${kept.height}h${-kept.width}Z`}
            />
            <rect class="cut-edge" {...from} {...kept} />
          </>
        )}
      </svg>
      <figcaption class="quiet">
        {isCut ? 'Veiled: what is cut off. It is kept, and can be had back.' : 'The whole picture, as it was sent in.'}
      </figcaption>
    </>
  )
}

/** Of a hundred, as somebody types it; what can't be meant cuts nothing off. */
function share(text: string): number {
  const value = Number(text.trim().replace(',', '.'))
  return value > 0 && value < 100 ? value / 100 : 0
}
