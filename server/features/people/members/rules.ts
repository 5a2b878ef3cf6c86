import type { Role } from '../../../../db/tables.ts'
import { conflict, forbidden, type Problem } from '../../../http/problem.ts'

/** A member, as far as it matters who may change what about whom. */
export interface Standing {
  id: string
  role: Role
  state: 'active' | 'left'
}

/**
 * Whether a member may give another this role. Roles are the owner's to give; ownership is never given up, only
 * handed over, since a group without an owner could not be mended from within.
 *
 * @returns what stands in the way, or undefined
 */
export function refusedRole(by: Standing, who: Standing, role: Role): Problem | undefined {
  if (by.role !== 'owner') return forbidden('Only the owner of the group can change roles.')
  if (who.id === by.id && role !== 'owner')
    return conflict('The group needs an owner: make somebody else the owner, and you become a steward.')
  if (who.state === 'left') return conflict('They have left. Let them back in first.')
  return undefined
}

/**
 * Whether a member may let another leave, or bring them back. Everybody but the owner may leave; a plain member is
 * let out and in by stewards, a steward by the owner alone.
 *
 * @returns what stands in the way, or undefined
 */
export function refusedState(by: Standing, who: Standing, state: 'active' | 'left'): Problem | undefined {
  if (who.role === 'owner' && by.id === who.id)
    return conflict('The owner cannot leave: make somebody else the owner first.')
  if (who.role === 'owner') return forbidden('The owner of the group cannot be removed.')
  if (by.id === who.id && state === 'left') return undefined
  if (by.role === 'owner') return undefined
  if (by.role === 'steward' && who.role === 'member') return undefined
  return forbidden('Only a steward can remove a member or let one back in, and only the owner a steward.')
}

/**
 * Whether a member may help another who forgot their password. Whoever holds the link can become them, so it is for
 * those who could let them leave as well, and never for the owner.
 *
 * @returns what stands in the way, or undefined
 */
export function refusedWayBack(by: Standing, who: Standing): Problem | undefined {
  if (by.id === who.id) return conflict('You are signed in already: change your password on the page “About you”.')
  if (who.state === 'left') return conflict('They have left. Let them back in first.')
  return refusedState(by, who, 'left')
}

/**
 * Whether a member may end all sessions of another, for one who has lost a device, or whose account somebody else uses.
 *
 * @returns what stands in the way, or undefined
 */
export function refusedSignOut(by: Standing, who: Standing): Problem | undefined {
  if (by.id === who.id) return conflict('Your own sessions are on the page “About you”, where you can end them.')
  if (refusedState(by, who, 'left') === undefined) return undefined
  return forbidden(
    'Only a steward can sign a member out, and only the owner a steward. Nobody else can sign the owner out.',
  )
}

/** What may be done about a member, for the page to offer. */
export const mayRole = (by: Standing, who: Standing) => by.id !== who.id && refusedRole(by, who, 'member') === undefined
export const mayState = (by: Standing, who: Standing) =>
  refusedState(by, who, who.state === 'left' ? 'active' : 'left') === undefined
export const mayWayBack = (by: Standing, who: Standing) => refusedWayBack(by, who) === undefined
export const maySignOut = (by: Standing, who: Standing) =>
  who.state === 'active' && refusedSignOut(by, who) === undefined
