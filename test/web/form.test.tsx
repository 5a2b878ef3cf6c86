import { expect, test } from 'vitest'
import { ErrorSummary } from '../../web/parts/button-form.tsx'
import { Checkbox, CheckboxGroup, FieldGroup, RadioGroup, SelectField } from '../../web/parts/choice-field.tsx'
import { DateField, MoneyField, NumberField, PasswordField, TextArea, TextField } from '../../web/parts/field.tsx'
import { Form } from '../../web/parts/form.tsx'
import { SuggestField } from '../../web/parts/suggest-field.tsx'
import { html, words } from './render.tsx'

const hostile = '"><script>alert(1)</script>'

test('a refused field keeps what was typed and ties its hint and reason to the box', () => {
  const markup = html(
    <Form action="/units" values={{ name: hostile }} errors={{ name: 'There is such a unit already' }}>
      <TextField name="name" label="Unit" hint="As on its box" maxLength={120} />
    </Form>,
  )
  expect(markup).toContain('<label for="form-name">')
  expect(markup).toContain('id="form-name-hint"')
  expect(markup).toContain('id="form-name-error"')
  expect(markup).toContain('aria-describedby="form-name-hint form-name-error"')
  expect(markup).toContain('aria-invalid="true"')
  expect(markup).toContain('value="&quot;>&lt;script>alert(1)&lt;/script>"')
  expect(markup).toContain('maxlength="120"')
})

test('a field in order is not called invalid, and says whether it may stay empty', () => {
  const form = (
    <Form action="/units">
      <TextField name="name" label="Unit" />
      <TextArea name="remark" label="Remark" optional />
    </Form>
  )
  expect(html(form)).not.toContain('aria-invalid')
  expect(html(form).match(/ required/g)).toHaveLength(1)
  expect(words(form)).toBe('Unit Remark (optional)')
})

test('a text area keeps its text as text', () => {
  const markup = html(
    <Form action="/x" values={{ remark: '</textarea><script>' }}>
      <TextArea name="remark" label="Remark" />
    </Form>,
  )
  expect(markup).toContain('&lt;/textarea>&lt;script></textarea>')
})

test('the summary leads to each field, and names what belongs to no field', () => {
  const markup = html(
    <Form action="/x" id="ask" errors={{ 'price.amount': 'Two digits', '': 'Try again' }}>
      <ErrorSummary />
      <MoneyField name="price" label="Price" currencies={['EUR']} />
    </Form>,
  )
  expect(markup).toContain('2 things to correct')
  expect(markup).toContain('<a href="#ask-price-amount">Price: Two digits</a>')
  expect(markup).toContain('<li>Try again</li>')
  expect(markup).toContain('<input id="ask-price-amount"')
  expect(
    html(
      <Form action="/x">
        <ErrorSummary />
      </Form>,
    ),
  ).not.toContain('role="alert"')
})

test('a sum is sent as amount and currency, shows a reason given for the whole, and keeps what was typed', () => {
  const markup = html(
    <Form action="/x" values={{ 'price.amount': '12,5 or so', 'price.currency': 'JPY' }} errors={{ price: 'No sum' }}>
      <MoneyField name="price" label="Price" currencies={['EUR', 'JPY']} />
    </Form>,
  )
  expect(markup).toContain('name="price.amount"')
  expect(markup).toContain('value="12,5 or so"')
  expect(markup).toContain('<option selected>JPY</option>')
  expect(markup).toContain('aria-describedby="form-price-amount-error"')
  expect(markup).toContain('id="form-price"')
})

test('choices keep what was ticked; the group carries the reason', () => {
  const options = [
    { value: 'spears', label: 'Spears' },
    { value: 'banner', label: 'A banner', note: 'one of the ten' },
  ]
  const markup = html(
    <Form action="/x" values={{ mustHaves: ['banner'], crowding: 'spears' }} errors={{ mustHaves: 'Choose one' }}>
      <CheckboxGroup name="mustHaves" label="Must have" options={options} />
      <RadioGroup name="crowding" label="Crowding" options={options} big />
      <SelectField name="crowding" label="Again" options={options} empty="Choose" />
      <Checkbox name="own" label="Mine" />
    </Form>,
  )
  expect(markup).toContain('<fieldset class="field" aria-describedby="form-mustHaves-error">')
  expect(markup).toMatch(/type="checkbox" id="form-mustHaves-1" name="mustHaves" value="banner" checked/)
  expect(markup).toMatch(/type="radio" id="form-crowding" name="crowding" value="spears" checked/)
  expect(markup).toContain('<option value="spears" selected>Spears</option>')
  expect(markup).not.toMatch(/name="own" value="true" checked/)
})

test('a number shows its unit, and a refused one is shown as typed', () => {
  const markup = html(
    <Form action="/x" values={{ heightMm: 'tall' }}>
      <NumberField name="heightMm" label="Height" unit="mm" />
      <DateField name="neededBy" label="Needed by" />
    </Form>,
  )
  expect(markup).toContain('type="text" inputmode="decimal" autocomplete="off" value="tall"')
  expect(markup).toContain('aria-describedby="form-heightMm-unit"')
})

test('a password is never sent back', () => {
  const markup = html(
    <Form action="/x" values={{ password: 'correct horse' }}>
      <PasswordField name="password" label="Password" />
    </Form>,
  )
  expect(markup).not.toContain('horse')
})

test('without script, what the typed text may mean is chosen from a list', () => {
  const found = [{ id: 'u1', label: hostile, note: '4 stand-ins known', href: '/units/u1' }]
  const part = (
    <Form action="/x" values={{ unitName: 'wardn' }}>
      <SuggestField name="unitName" label="Unit" url="/units/suggest" target="unitId" found={found} />
    </Form>
  )
  expect(html(part)).not.toContain('<script')
  expect(html(part)).toContain('type="radio" name="unitId" value="u1"')
  expect(html(part)).not.toContain('type="hidden" name="unitId"')
  expect(words(part)).toContain('Did you mean one of these?')
})

test('fields named like what every object inherits are empty, not a function', () => {
  const markup = html(
    <Form action="/x">
      <TextField name="constructor" label="Odd" />
    </Form>,
  )
  expect(markup).toContain('type="text" value autocomplete')
  expect(markup).not.toContain('field-error')
})

test('the summary of a refused form names each field, with the legend over it', () => {
  const errors = { 'base.widthMm': 'A number', price: 'No sum', crowding: 'Choose one', unnamed: 'Odd', '': 'Gone' }
  const markup = html(
    <Form action="/x" errors={errors}>
      <ErrorSummary />
      <FieldGroup legend="Base">
        <NumberField name="base.widthMm" label="Width" />
      </FieldGroup>
      <MoneyField name="price" label="Price" currencies={['EUR', 'JPY']} />
      <RadioGroup name="crowding" label="How full" options={[{ value: 'half empty', label: 'Half empty' }]} />
    </Form>,
  )
  const lines = [...markup.slice(0, markup.indexOf('</ul>')).matchAll(/<li>(?:<a href="#([^"]*)">)?([^<]*)/g)]
  expect(lines.map(([, id, text]) => `${id}: ${text}`)).toEqual([
    'form-base-widthMm: Base, Width: A number',
    'form-price: Price: No sum',
    'form-crowding: How full: Choose one',
    'form-unnamed: Odd',
    'undefined: Gone',
  ])
})
