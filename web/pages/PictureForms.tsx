import { type Base, baseWords } from '../parts/base.ts'
import { Actions, Button } from '../parts/blocks.tsx'
import { ButtonForm, EditForm, ErrorSummary, FoldedPress } from '../parts/button-form.tsx'
import { FieldGroup } from '../parts/choice-field.tsx'
import { DescribedHere } from '../parts/described-here.tsx'
import { NumberField, TextField } from '../parts/field.tsx'
import { Form, type FormState } from '../parts/form.tsx'
import type { PictureSource, ShownPicture } from '../parts/picture.tsx'
import { PictureFields } from '../parts/picture-fields.tsx'
import { type Drawn, FileDrawing } from './FileHead.tsx'

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

type Ellipse = Record<'cx' | 'cy' | 'rx' | 'ry' | 'turned', number>

interface BaseProps {
  picture: { id: string; alt: string; whole: PictureSource; file: { id: string; title: string } }
  form: FormState
  hidden: Record<string, string>
  /** The marks are kept for everybody; else they are for this reader, this once. */
  keeps: boolean
  /** In pixels of the picture; null while nothing is marked. */
  drawn: { own: Ellipse; pxPerMm: number; units: { id: string; name: string; base: Base; ellipse: Ellipse }[] } | null
}

/** The base of the unit, laid to scale over a print whose own base is marked in its picture. */
export function PictureBase({ picture, form, hidden, keeps, drawn }: BaseProps) {
  return (
    <div class="picture-form">
      <div class="stack">
        <Overlay picture={picture} drawn={drawn} />
        {drawn && <Words file={picture.file} drawn={drawn} />}
      </div>
      <ButtonForm
        main
        form={form}
        action={`/pictures/${picture.id}/base`}
        method={keeps ? 'post' : 'get'}
        hidden={hidden}
        button={keeps ? 'Lay it over, and keep the marks' : 'Lay it over'}
        back={[`/files/${picture.file.id}#pictures`, 'Back to the file']}
      >
        <FieldGroup
          legend="Two opposite marks on the edge of the print’s base"
          hint={
            <>
              In per cent of the picture, from its left and from its top.{' '}
              <span class="with-script">Or tap the picture twice.</span>
            </>
          }
        >
          <div class="four-sides">
            <NumberField name="x1" label="First, from the left" unit="%" />
            <NumberField name="y1" label="First, from the top" unit="%" />
            <NumberField name="x2" label="Second, from the left" unit="%" />
            <NumberField name="y2" label="Second, from the top" unit="%" />
          </div>
        </FieldGroup>
        <NumberField name="widthMm" label="How wide that base is" unit="mm" />
        <NumberField
          name="depth"
          label="How deep it looks for its width"
          hint="100 from straight above, about 40 from a seat at the table."
          unit="%"
        />
      </ButtonForm>
    </div>
  )
}

function Overlay({ picture: { whole, alt }, drawn }: Pick<BaseProps, 'picture' | 'drawn'>) {
  const { width, height } = whole
  return (
    <svg class="laid-over" data-marks viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img">
      <title>{drawn ? `${alt}, with the unit’s base laid over` : alt}</title>
      <image href={whole.src} width={width} height={height} />
      {drawn && <Ring at={drawn.own} name="laid-own" />}
      {drawn?.units.map(({ id, ellipse }) => (
        <Ring key={id} at={ellipse} name="laid-unit" />
      ))}
    </svg>
  )
}

/** Twice, the wider one dark and below, so that it is seen on any picture. */
function Ring({ at: { cx, cy, rx, ry, turned }, name }: { at: Ellipse; name: string }) {
  const shape = { cx, cy, rx, ry, transform: `rotate(${turned} ${cx} ${cy})` }
  return (
    <>
      <ellipse class="laid-under" {...shape} />
      <ellipse class={name} {...shape} />
    </>
  )
}

function Words({
  file,
  drawn: { units, pxPerMm },
}: { file: { title: string } } & { drawn: NonNullable<BaseProps['drawn']> }) {
  if (units.length === 0) return <p>{file.title} stands in for no unit whose base is known.</p>
  return (
    <p>
      Dotted: the print’s own base. Solid: {units.map(({ name, base }) => `${name}, ${baseWords(base)}`).join('; ')}.{' '}
      <span class="quiet">
        {pxPerMm.toFixed(1)} pixels a millimetre, where that base stands; what is nearer to the camera looks larger.
      </span>
    </p>
  )
}

interface NewProps {
  file: Drawn & { id: string }
  form: FormState
  hidden: Record<string, string>
}

/** Pictures of a print that was not reported: of a model that somebody has stood on the shelf for years. */
export function NewPictures({ file, form, hidden }: NewProps) {
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
