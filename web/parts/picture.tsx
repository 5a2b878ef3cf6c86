import type { ComponentChildren } from 'preact'

export interface PictureSource {
  src: string
  width: number
  height: number
}

/** A picture in two sizes; `src` and its measures are of the small one. */
export interface ShownPicture extends PictureSource {
  large: PictureSource
  /** What is to be seen. */
  alt: string
}

/** How wide it is drawn, as HTML's `sizes` has it, where it is one of several beside each other. */
const usualSizes = '(min-width: 40rem) 15rem, 46vw'

/**
 * A member's picture. It has its place before it comes, and comes when it is about to be seen.
 *
 * @param sizes how wide it is drawn, as HTML's `sizes` has it
 * @param now it is seen at once, so there is nothing to wait for
 */
export function Picture({
  picture: { src, width, height, large, alt },
  sizes = usualSizes,
  now = false,
}: {
  picture: ShownPicture
  sizes?: string
  now?: boolean
}) {
  const two = large.width > width ? { srcset: `${src} ${width}w, ${large.src} ${large.width}w`, sizes } : {}
  return (
    <img
      class="picture"
      {...two}
      src={src}
      width={width}
      height={height}
      alt={alt}
      loading={now ? 'eager' : 'lazy'}
      decoding="async"
    />
  )
}

/** Pictures beside each other, each with what there is to say of it. */
export function PictureRow<Shown extends ShownPicture & { id: string }>({
  pictures,
  caption,
}: {
  pictures: Shown[]
  caption: (picture: Shown) => ComponentChildren
}) {
  return (
    <ul class="picture-row">
      {pictures.map((picture) => (
        <li key={picture.id}>
          <figure>
            <a href={picture.large.src} aria-label={`In full: ${picture.alt}`}>
              <Picture picture={picture} />
            </a>
            <figcaption>{caption(picture)}</figcaption>
          </figure>
        </li>
      ))}
    </ul>
  )
}
