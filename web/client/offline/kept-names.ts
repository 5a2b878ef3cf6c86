/** Names of the caches, which page and worker agree on. */
export const keptAssets = 'understudy-assets'
export const keptForms = 'understudy-report-form-'
export const formsOf = (memberId: string) => `${keptForms}${memberId}`

/** Not an address that is asked for: when the forms were kept, and by which build. */
export const keptMark = '/kept-mark'
