import { Actions, Button } from '../parts/button.tsx'
import { ErrorSummary } from '../parts/error-summary.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import { PictureFields } from '../parts/picture-fields.tsx'

interface Props {
  file: { id: string; title: string }
  form: FormState
  hidden: Record<string, string>
}

/** Pictures of a print that was not reported: of a model that somebody has stood on the shelf for years. */
export function NewPictures({ file, form, hidden }: Props) {
  return (
    <>
      <p>
        Printed it just now? <a href={`/reports/new?fileId=${file.id}`}>Report the print</a>, with its pictures: that
        says more.
      </p>
      <Form upload action={`/files/${file.id}/pictures`} hidden={hidden} {...form}>
        <ErrorSummary />
        <PictureFields must />
        <Actions>
          <Button main>Add the pictures</Button>
          <a href={`/files/${file.id}`}>Back to the file</a>
        </Actions>
      </Form>
    </>
  )
}
