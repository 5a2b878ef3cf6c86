/**
 * Where to go after signing in: a path of ours, never another site.
 *
 * @param wanted what the address said
 * @returns "/" unless it is a plain path with its query
 */
export function nextPath(wanted: unknown): string {
  if (typeof wanted !== 'string' || !/^\/(?![/\\])[\x21-\x7e]*$/.test(wanted) || wanted.includes('\\')) return '/'
  return wanted
}
