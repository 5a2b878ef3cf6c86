import { startComforts } from './comforts.ts'

startComforts()
