import { startComforts } from './comforts.ts'
import { startCopies } from './copies.ts'
import { startCopy } from './copy.ts'
import { startCounts } from './counts.ts'
import { startFilling } from './filling.ts'
import { startMarks } from './marks.ts'
import { startMeasuring } from './measure-files.ts'
import { startMeasuringHere } from './measure-here.ts'
import { startKeptForm } from './offline/kept-form.ts'
import { mend, startReportForm } from './offline/report-form.ts'
import { startWaiting } from './offline/waiting-list.ts'
import { startPoll } from './poll.ts'
import { startSteps } from './steps.ts'
import { startSuggest } from './suggest.ts'
import { startSwap } from './swap.ts'
import { startTicks } from './ticks.ts'

/** Every page works without this; each start adds comfort to what the server wrote, here and in what is swapped in later. */
function enhance(root: ParentNode): void {
  for (const input of root.querySelectorAll<HTMLInputElement>('input[data-suggest]')) startSuggest(input)
  for (const input of root.querySelectorAll<HTMLInputElement>('input[data-steps]')) startSteps(input)
  for (const input of root.querySelectorAll<HTMLInputElement>('input[name$=".good"][data-steps]')) startCounts(input)
  for (const picture of root.querySelectorAll<SVGElement>('svg[data-copies]')) startCopies(picture)
  for (const note of root.querySelectorAll<HTMLElement>('[data-filling]')) startFilling(note)
  for (const form of root.querySelectorAll<HTMLFormElement>('form[data-swap]')) startSwap(form, enhance)
  for (const form of root.querySelectorAll<HTMLFormElement>('form:has(input[data-ticks])')) startTicks(form)
  for (const form of root.querySelectorAll<HTMLFormElement>('form[data-keeps]')) startReportForm(form, enhance)
  for (const field of root.querySelectorAll<HTMLTextAreaElement>('textarea[data-copy]')) startCopy(field)
  for (const form of root.querySelectorAll<HTMLFormElement>('form[data-measure]')) startMeasuring(form)
  for (const picture of root.querySelectorAll<SVGSVGElement>('svg[data-marks]')) startMarks(picture)
  for (const place of root.querySelectorAll<HTMLElement>('[data-measure-here]')) startMeasuringHere(place)
  for (const place of root.querySelectorAll<HTMLElement>('[data-described]')) void draw(place)
  for (const region of root.querySelectorAll<HTMLElement>('[data-poll]')) startPoll(region, enhance)
}

/** What draws is large, and few forms want it; without a network the still picture stays. */
const draw = async (place: HTMLElement) => (await import('./described.tsx').catch(() => null))?.startDescribed(place)

startComforts()
enhance(document)
startWaiting((waiting) => mend(waiting, enhance))
// Where no worker may run, everything else works as before.
void startKeptForm().catch(() => {})
