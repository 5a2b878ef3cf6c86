import { Disclosure, Section, WithContents } from '../parts/blocks.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { ApiTogether } from './ApiTogether.tsx'

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

const first = { manner: 'Manner', errors: 'When it is refused', together: 'Fields that have to fit together' }
const placesOf = (groups: Props['groups']) =>
  Object.entries({ ...first, ...Object.fromEntries(groups.map(({ name }) => [name, name])), shapes: 'Shapes' })

/** The documentation of the REST API, made from the same description that programs read. */
export function ApiDocs({ groups, shapes, writes }: Props) {
  return (
    <>
      <p class="lead">
        Everything that the pages can do, a program can do, too. The same for programs to read:{' '}
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
    <Section heading="Manner" id="manner">
      <ul>
        <li>
          Everything is under <code>/api/v1</code>, JSON in and out, names in camelCase. Ids are UUIDs; times are RFC
          3339 in UTC, days <code>YYYY-MM-DD</code>. The unit is in the name: <code>heightMm</code>,{' '}
          <code>resinMl</code>, <code>exposureS</code>.
        </li>
        <li>
          Money is <code>{'{ "amount": "12.50", "currency": "EUR" }'}</code>: a decimal text with at most the digits
          that ISO 4217 gives the currency, and never negative.
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
        <li>Bodies have at most 256 KiB.</li>
        <li>
          A member sends at most {writes.perMinute} changes a minute and {writes.perDay} a day, through the API and the
          pages together. More are refused with 429.
        </li>
      </ul>
    </Section>
  )
}

const refusals = [
  { status: '400', words: 'It can’t be read: no JSON, a key twice, nested too deep.' },
  { status: '401', words: 'Nobody is signed in.' },
  { status: '403', words: 'Not for this member, or not from a page of this site.' },
  { status: '404', words: 'There is no such thing, or it is hidden from this member.' },
  { status: '409', words: 'Something else came first: it exists already, it is settled, it is gone.' },
  { status: '412', words: 'It has changed since it was read; If-Match says so.' },
  { status: '413', words: 'More than 256 KiB.' },
  { status: '415', words: 'Not JSON.' },
  { status: '421', words: 'Sent to another address, or without TLS where TLS is required.' },
  { status: '422', words: 'It can be read, but something in it is wrong; the errors say where.' },
  { status: '428', words: 'The thing is somebody else’s: send If-Match.' },
  { status: '429', words: 'Too many tries or changes; Retry-After says how many seconds to wait.' },
  { status: '500', words: 'Something went wrong here; nothing was changed.' },
  { status: '503', words: 'The database can’t be reached; Retry-After says when to try again.' },
  { status: '507', words: 'The disk is full; nothing was changed.' },
]

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
