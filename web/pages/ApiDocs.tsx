import { Disclosure, Section, WithContents } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import refusals from '../texts/api/refusals.json' with { type: 'json' }
import together from '../texts/api/together.json' with { type: 'json' }

/** Words of a description; a name in an object leads to the shape of that name. */
export type Words = (string | { shape: string })[]

export interface Field {
  name: string
  kind: Words
  required: boolean
  note: string
}

export interface Call {
  method: string
  path: string
  summary: string
  access: 'public' | 'member' | 'steward' | 'owner'
  /** Of the path, the query and the headers. */
  parameters: (Field & { where: string })[]
  body: Field[]
  bodyExample: string | null
  answers: { status: string; words: string; kind: Words; fields: Field[]; example: string | null }[]
}

interface Props {
  groups: { name: string; calls: Call[] }[]
  shapes: { name: string; kind: Words; fields: Field[] }[]
  /** How many changes a member may send. */
  writes: { perMinute: number; perDay: number }
}

const first = { conventions: 'Conventions', errors: 'When it is refused', together: 'Fields that have to fit together' }
const placesOf = (groups: Props['groups']) =>
  Object.entries({ ...first, ...Object.fromEntries(groups.map(({ name }) => [name, name])), shapes: 'Shapes' })

/** The documentation of the REST API, made from the same description that programs read. */
export function ApiDocs({ groups, shapes, writes }: Props) {
  return (
    <>
      <p class="lead">
        A program can do everything that the pages can. The same for programs to read:{' '}
        <a href="/api/v1/openapi.json">OpenAPI 3.1</a>.
      </p>
      <WithContents places={placesOf(groups)}>
        <Conventions writes={writes} />
        <Refusals />
        <ApiTogether />
        {groups.map(({ name, calls }) => (
          <Section key={name} heading={name} id={name}>
            {calls.map((call) => (
              <CallEntry key={`${call.method} ${call.path}`} call={call} />
            ))}
          </Section>
        ))}
        <Section heading="Shapes" id="shapes">
          <p>What calls take and answer, by name.</p>
          {shapes.map(({ name, kind, fields }) => (
            <Disclosure key={name} summary={name}>
              {/* Within it, so that a link to it unfolds it. */}
              <div id={`shape-${name}`}>
                {fields.length > 0 ? (
                  <Fields caption={`Fields of ${name}`} fields={fields} />
                ) : (
                  <p>
                    <Kind kind={kind} />
                  </p>
                )}
              </div>
            </Disclosure>
          ))}
        </Section>
      </WithContents>
    </>
  )
}

function Conventions({ writes }: Pick<Props, 'writes'>) {
  return (
    <Section heading="Conventions" id="conventions">
      <ul>
        <li>
          Everything is under <code>/api/v1</code>, JSON in and out, names in camelCase. Ids are UUIDs; times are RFC
          3339 in UTC, days <code>YYYY-MM-DD</code>. The unit is in the name: <code>heightMm</code>,{' '}
          <code>resinMl</code>, <code>exposureS</code>.
        </li>
        <li>
          Money is <code>{'{ "amount": "12.50", "currency": "EUR" }'}</code>: a decimal string with at most the digits
          that ISO 4217 gives the currency. What is sent is never negative.
        </li>
        <li>A field that is not listed is refused, so that a typo does not go unnoticed.</li>
        <li>
          Lists answer <code>{'{ "items": […], "next": … }'}</code>. Pass <code>next</code> back as <code>?after=</code>{' '}
          for the rest, or follow the <code>Link</code> header; <code>?limit=</code> takes 1 to 100.
        </li>
        <li>
          Reading gives an <code>ETag</code>. Send it as <code>If-Match</code> with a change, and the change is refused
          (412) if somebody else was quicker. For other people's things it is required.
        </li>
        <li>
          Every POST by a member takes an <code>Idempotency-Key</code>: sent twice with the same key and body it is done
          once and gets the same answer. A secret in the answer is shown the first time only.
        </li>
        <li>
          Signing in sets a cookie. A change sent with it has to show by <code>Origin</code> or{' '}
          <code>Sec-Fetch-Site</code> that it comes from this site.
        </li>
        <li>
          A body may be at most 256 KiB. Pictures are sent as <code>multipart/form-data</code> and may be larger.
        </li>
        <li>
          A member sends at most {writes.perMinute} changes a minute and {writes.perDay} a day, through the API and the
          pages together. More are refused with 429.
        </li>
      </ul>
    </Section>
  )
}

function Refusals() {
  return (
    <Section heading="When it is refused" id="errors">
      <p>
        A refusal is <code>application/problem+json</code> (RFC 9457) with <code>title</code>, <code>status</code>,{' '}
        <code>detail</code> and, where fields are wrong, <code>errors</code>: each with a JSON pointer and a sentence,
        such as <code>{'{ "path": "/wanted", "message": "At least 1." }'}</code>.
      </p>
      <DataTable
        caption="How calls are refused"
        captionHidden
        rows={refusals}
        rowKey={({ status }) => status}
        columns={[
          { label: 'Status', head: true, cell: ({ status }) => status },
          { label: 'Means', cell: ({ words }) => words },
        ]}
      />
    </Section>
  )
}

const callers = { public: 'everybody', member: 'members', steward: 'stewards and the owner', owner: 'the owner' }

function CallEntry({ call }: { call: Call }) {
  const { method, path, summary, access, parameters, body, bodyExample, answers } = call
  return (
    <Disclosure summary={`${method} ${path}${summary && `: ${summary}`}`}>
      <p>For {callers[access]}.</p>
      {parameters.length > 0 && (
        <DataTable
          caption="In the address and headers"
          rows={parameters}
          rowKey={({ name }) => name}
          columns={[
            ...columns.slice(0, 1),
            { label: 'Where', cell: ({ where }: { where: string }) => where },
            ...columns.slice(1),
          ]}
        />
      )}
      {body.length > 0 && <Fields caption="Body" fields={body} />}
      {bodyExample && <Example of="what is sent" text={bodyExample} />}
      {answers.map(({ status, words, kind, fields, example }) => (
        <div key={status}>
          <p>
            <strong>{status}</strong> {words}
            {kind.length > 0 && (
              <>
                {': '}
                <Kind kind={kind} />
              </>
            )}
          </p>
          {fields.length > 0 && <Fields caption={`Answer ${status}`} fields={fields} />}
          {example && <Example of="the answer" text={example} />}
        </div>
      ))}
    </Disclosure>
  )
}

function Example({ of, text }: { of: string; text: string }) {
  return (
    <>
      <p>For example, {of}:</p>
      <pre class="example">
        <code>{text}</code>
      </pre>
    </>
  )
}

const columns = [
  { label: 'Field', head: true, cell: ({ name }: Field) => <code>{name}</code> },
  { label: 'Is', cell: ({ kind }: Field) => <Kind kind={kind} /> },
  { label: 'Needed', cell: ({ required }: Field) => (required ? 'yes' : 'no') },
  { label: 'Note', cell: ({ note }: Field) => note },
]

function Fields({ caption, fields }: { caption: string; fields: Field[] }) {
  return <DataTable caption={caption} rows={fields} rowKey={({ name }) => name} columns={columns} />
}

function Kind({ kind }: { kind: Words }) {
  return (
    <>
      {kind.map((part, index) =>
        typeof part === 'string' ? (
          part
        ) : (
          <a key={index} href={`#shape-${part.shape}`}>
            {part.shape}
          </a>
        ),
      )}
    </>
  )
}

/** What several fields of a shape have to be to each other, which no schema of one field says. */
function ApiTogether() {
  return (
    <Section heading="Fields that have to fit together" id="together">
      <DataTable
        caption="Fields that have to fit together"
        captionHidden
        rows={together}
        rowKey={({ shape }) => shape}
        columns={[
          { label: 'In', head: true, cell: ({ shape }) => <a href={`#shape-${shape}`}>{shape}</a> },
          { label: 'Rule', cell: ({ rule }) => rule },
        ]}
      />
      <p>A day on which something was seen, printed, bought or serviced has to have begun somewhere on earth.</p>
    </Section>
  )
}
