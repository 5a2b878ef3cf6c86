import { Disclosure } from './blocks.tsx'
import { type Option, SelectField } from './choice-field.tsx'
import { controlOf, FieldFrame, TextField } from './field.tsx'
import { useField } from './form.tsx'

/** What a browser may hand over. Without HEIC among them, a phone that makes such hands over a JPEG instead. */
const accept = 'image/jpeg,image/png,image/webp'

interface Props {
  /** What can be seen on them, where there are several. */
  prints?: Option[]
  must?: boolean
  /** The camera is at hand, and the rest is folded away while nobody has filled it in. */
  atTheMachine?: boolean
}

/**
 * Takes pictures with the camera, or from what is there; the form around it needs `upload`. Those that came with a form
 * which was refused are kept, and need not be chosen once more.
 */
export function PictureFields({ prints = [], must = false, atTheMachine = false }: Props) {
  const words = useField('alt')
  if (!atTheMachine)
    return (
      <>
        <KeptPictures />
        <FileField must={must} name="pictures" label="Pictures" hint={taken} multiple />
        <FileField name="pictures" id="camera" label="Or take one now" capture />
        <About prints={prints} />
      </>
    )
  return (
    <>
      <KeptPictures />
      <FileField name="pictures" label="Take a picture of it" capture />
      <Disclosure summary="Pictures you already have, and what they show" open={words.value !== ''}>
        <div class="form">
          <FileField name="pictures" id="there" label="Pictures that you have" hint={taken} multiple />
          <About prints={prints} />
        </div>
      </Disclosure>
    </>
  )
}

const taken =
  'JPEG, PNG or WebP, at most 6, up to 12 MB each. Most phones turn a HEIC into a JPEG by themselves; if yours doesn’t, save it as a JPEG first. Where and when they were taken is not kept.'

const About = ({ prints }: { prints: Option[] }) => (
  <>
    <TextField
      optional
      name="alt"
      label="What the picture shows"
      hint="For members who don't see it: “Four sentries on wet stone, grey, one spear is bent.”"
      maxLength={300}
    />
    {prints.length > 1 && <SelectField name="pictured" label="Which of them the picture shows" options={prints} />}
  </>
)

interface FileFieldProps {
  name: string
  label: string
  hint?: string
  /** Told apart from another field of the same name. */
  id?: string
  must?: boolean
  multiple?: boolean
  capture?: boolean
}

function FileField({ id, must = false, multiple = false, capture = false, ...rest }: FileFieldProps) {
  const field = { ...rest, optional: !must }
  const state = useField(field.name, field.hint)
  const own = id ? { ...state, id: `${state.id}-${id}`, describedBy: undefined, error: undefined } : state
  return (
    <FieldFrame {...field} state={own}>
      <input
        {...controlOf(field, own)}
        type="file"
        accept={accept}
        multiple={multiple}
        {...(capture && { capture: 'environment' as const })}
      />
    </FieldFrame>
  )
}

/** The hash of a picture, which is its name. */
const kept = /^[0-9a-f]{64}$/

function KeptPictures() {
  const { values } = useField('pictures')
  const hashes = values.filter((value) => kept.test(value))
  if (hashes.length === 0) return null
  return (
    <fieldset class="field kept-pictures">
      <legend>Pictures so far</legend>
      {hashes.map((hash, index) => (
        <label key={hash}>
          <input type="checkbox" name="pictures" value={hash} checked />
          <img src={`/pictures/${hash}-480`} width={96} height={96} alt={`Keep number ${index + 1}`} />
        </label>
      ))}
    </fieldset>
  )
}
