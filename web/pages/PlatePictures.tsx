import { EmptyState, Section } from '../parts/blocks.tsx'
import { FoldedForm, type SentForm } from '../parts/button-form.tsx'
import { PictureRow, type ShownPicture } from '../parts/picture.tsx'
import { PictureFields } from '../parts/picture-fields.tsx'

interface Props {
  plate: { id: string; prints: { file: { title: string } }[] }
  pictures: (ShownPicture & { id: string; file: { title: string }; mayChange: boolean })[]
  isMine: boolean
  adding: SentForm
}

/** What came off the plate, and for whoever printed it a form for more. */
export function PlatePictures({ plate, pictures, isMine, adding }: Props) {
  if (pictures.length === 0 && !isMine) return null
  const prints = plate.prints.map(({ file }, index) => ({ value: String(index), label: file.title }))
  return (
    <Section heading="Pictures" id="pictures">
      {pictures.length === 0 && <EmptyState words="No picture yet. Show how it came out." />}
      <PictureRow
        pictures={pictures}
        caption={({ id, file, alt, mayChange }) => (
          <>
            {prints.length > 1 && file.title}{' '}
            {mayChange && (
              <a href={`/pictures/${id}/edit`} aria-label={`Change the picture: ${alt}`}>
                Change
              </a>
            )}
          </>
        )}
      />
      {isMine && (
        <FoldedForm
          summary="Add a picture"
          upload
          main
          {...adding}
          action={`/plates/${plate.id}/pictures`}
          id="new-pictures"
          button="Add the pictures"
        >
          <PictureFields must prints={prints} />
        </FoldedForm>
      )}
    </Section>
  )
}
