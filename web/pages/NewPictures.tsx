import { EditForm, type FormState } from '../parts/button-form.tsx'
import { PictureFields } from '../parts/picture-fields.tsx'
import { type Drawn, FileDrawing } from './FileHead.tsx'

interface Props {
  file: Drawn & { id: string }
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
      <EditForm
        upload
        form={form}
        action={`/files/${file.id}/pictures`}
        hidden={hidden}
        button="Add the pictures"
        back={[`/files/${file.id}`, 'Back to the file']}
        aside={
          <>
            <div class="side-figure">
              <FileDrawing file={{ ...file, face: null }} />
            </div>
            <Helps />
          </>
        }
      >
        <PictureFields must />
      </EditForm>
    </>
  )
}

/** What a picture is looked at for. */
function Helps() {
  return (
    <>
      <h2 class="side-heading">What a picture is good for</h2>
      <ul class="side-lines">
        <li>
          Does it look the part? <small>The whole model from the front, at the height of its eyes.</small>
        </li>
        <li>
          Does it fit the base?{' '}
          <small>With the edge of its base in sight, others can lay the unit’s base over it.</small>
        </li>
        <li>
          How clean is the print? <small>In bare resin or primer, layers and the marks of supports show.</small>
        </li>
      </ul>
      <p class="quiet">
        Wash and cure the model before you hold it up: what is on a glove is soon on the camera. The resin’s safety data
        sheet says how.
      </p>
    </>
  )
}
