import { Actions, Button } from '../parts/blocks.tsx'
import { ErrorSummary, FoldedPress } from '../parts/button-form.tsx'
import { FieldGroup } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import type { PictureSource, ShownPicture } from '../parts/picture.tsx'

interface Props {
  picture: ShownPicture & { id: string; file: { id: string }; whole: PictureSource }
  form: FormState
  hidden: Record<string, string>
}

/** What a picture shows in words, and what is cut off it. */
export function EditPicture({ picture, form, hidden }: Props) {
  const { whole, alt } = picture
  return (
    <>
      <Form class="picture-form" action={`/pictures/${picture.id}/edit`} hidden={hidden} {...form}>
        <DescribedHere what="picture" picture={{ ...whole, alt }} />
        <div class="form">
          <ErrorSummary />
          <TextField optional name="alt" label="What the picture shows" maxLength={300} />
          <FieldGroup
            legend="Cut off each side"
            hint="In per cent. The whole picture is kept: set all four to 0 to have it back."
          >
            <div class="four-sides">
              <NumberField name="crop.left" label="Left" unit="%" />
              <NumberField name="crop.top" label="Top" unit="%" />
              <NumberField name="crop.right" label="Right" unit="%" />
              <NumberField name="crop.bottom" label="Bottom" unit="%" />
            </div>
          </FieldGroup>
          <Actions>
            <Button main>Save the change</Button>
            <a href={`/files/${picture.file.id}#pictures`}>Back to the file</a>
          </Actions>
        </div>
      </Form>
      <FoldedPress
        class="form"
        summary="Remove this picture"
        id="remove"
        action={`/pictures/${picture.id}/remove`}
        hidden={hidden}
        button="Remove it for good"
      />
    </>
  )
}
