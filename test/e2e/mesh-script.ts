import { measure } from '../../web/mesh/measuring.ts'

// The script of an empty page, through which a test measures in a browser.
Object.assign(window, { measure })
