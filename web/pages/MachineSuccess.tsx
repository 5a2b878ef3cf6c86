import { IntervalMark } from '../parts/interval-mark.tsx'
import type { PrintSuccess } from '../parts/success-interval.tsx'

export interface MachineSuccessProps {
  success: PrintSuccess
}

/** A machine's own success on the ruler of its column; in words where there is no evidence for any. */
export function MachineSuccess({ success }: MachineSuccessProps) {
  if (success.copies <= 0) return <span class="quiet">no prints to judge it by</span>
  return <IntervalMark interval={success} isGuess={false} words="come through" />
}
