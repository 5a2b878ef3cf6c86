import { Actions, ButtonLink, Section } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { PictureRow, type ShownPicture } from '../parts/picture.tsx'

export interface FilePicture extends ShownPicture {
  id: string
  reportId: string | null
  member: { name: string }
  isFace: boolean
  mayChange: boolean
}

interface Props {
  fileId: string
  /** The newest first. */
  pictures: FilePicture[]
  /** What makes each choice of a face one; left out where the reader may not choose. */
  choosing?: Record<string, string> | undefined
}

/** Members' own prints of a file, of which there are some. */
export function FilePictures({ fileId, pictures, choosing }: Props) {
  const add = `/files/${fileId}/pictures/new`
  return (
    <Section heading="Pictures" id="pictures">
      <PictureRow
        pictures={pictures}
        caption={(picture) => <About fileId={fileId} picture={picture} choosing={choosing} />}
      />
      <Actions>
        <ButtonLink href={add}>Add a picture</ButtonLink>
      </Actions>
    </Section>
  )
}

/** What there is to say of the one picture, which stands at the head already. */
export function OnlyPicture({ fileId, picture, choosing }: AboutProps) {
  return (
    <div class="picture-only" id="pictures">
      <div>
        <About fileId={fileId} picture={picture} choosing={picture.isFace ? choosing : undefined} />
      </div>
      <ButtonLink href={`/files/${fileId}/pictures/new`}>Add a picture</ButtonLink>
    </div>
  )
}

type AboutProps = Pick<Props, 'fileId' | 'choosing'> & { picture: FilePicture }

function About({ fileId, picture, choosing }: AboutProps) {
  const { id, reportId, member, isFace, mayChange, alt } = picture
  return (
    <>
      {reportId === null ? member.name : <a href={`/reports/${reportId}`}>{member.name}’s print</a>}
      {mayChange && (
        <>
          {', '}
          <a href={`/pictures/${id}/edit`} aria-label={`change the picture: ${alt}`}>
            change
          </a>
        </>
      )}
      {', '}
      <a href={`/pictures/${id}/base`} aria-label={`does it fit the base? ${alt}`}>
        does it fit the base?
      </a>
      {choosing && (
        <Press
          class="form"
          action={`/files/${fileId}/face`}
          id={`face-${id}`}
          hidden={{ ...choosing, pictureId: isFace ? '' : id }}
          button={isFace ? 'Let the newest stand for it' : 'Have it stand for the file'}
          label={`${isFace ? 'Let the newest stand for it' : 'Have it stand for the file'}: ${alt}`}
        />
      )}
    </>
  )
}
