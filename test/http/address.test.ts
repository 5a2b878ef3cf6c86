import { expect, test } from 'vitest'
import { withoutCodes } from '../../server/http/address.ts'

test.each([
  ['/invitations/abc-_123', '/invitations/…'],
  ['/way-back/abc?then=1', '/way-back/…?then=1'],
  ['/%69nvitations/abc', '/invitations/…'],
  ['/way%2Dback/%61bc', '/way-back/…'],
  ['/sign-in?next=%2Finvitations%2Fabc&more=1', '/sign-in?next=/invitations/…&more=1'],
])('the log keeps no code of %s', (address, logged) => {
  expect(withoutCodes(address)).toBe(logged)
})

test.each(['/files/12', '/search?q=%69nk', '/%E2%82%AC', '/50%', '/invitations'])(
  '%s is logged as it came',
  (address) => {
    expect(withoutCodes(address)).toBe(address)
  },
)
