import { syncBuiltinESMExports } from 'node:module'
import os from 'node:os'

// Every Node.js process and thread of the tests loads this first (vitest.config.ts). Fits and plans let everybody else go
// first, so beside other tests they would get nowhere while a test waits for them: here they ask for no such thing.
os.setPriority = () => {}
syncBuiltinESMExports()
