import type { GroupFigures } from '../../../../web/pages/Help.tsx'
import { meanOf, productOf, summaryOf } from '../../../scoring/draws.ts'
import {
  drawsOfMachineInOrder,
  drawsOfNewLine,
  type GroupDraws,
  groupDrawsBeforeReports,
} from '../../../scoring/group-draws.ts'
import { stages } from '../../../scoring/labels.ts'
import { crowdings } from '../../../scoring/model.ts'

/** What any group starts from, worked out once. */
let start: GroupFigures | undefined

export function figuresBeforeReports(): GroupFigures {
  start ??= figuresOf(groupDrawsBeforeReports())
  return start
}

/** What a group as a whole is like, in the figures that the help shows: means, and 80 % intervals of chances. */
export function figuresOf(group: GroupDraws): GroupFigures {
  const file = drawsOfNewLine(group)
  const machine = drawsOfMachineInOrder(group)
  return {
    seen: tableOf(group),
    blind: meanOf(group.blind),
    // A correlation of 0 is copies that fail by themselves, 1 plates that fail as a whole.
    ties: stages.map((stage, index) => ({
      stage,
      tie: meanOf(group.ties[index]?.map((tie) => tie / (1 + tie)) ?? []),
    })),
    platesPerFilm: Math.round(1 / meanOf(group.hazard)),
    chances: [
      { of: 'a file by a new sculptor, the file alone', ...summaryOf(file) },
      { of: 'a machine alone, after upkeep', ...summaryOf(machine) },
      ...crowdings.map((crowding) => ({
        of: `a plate alone, ${crowding}`,
        ...summaryOf(group.plates[crowding]),
      })),
      {
        of: 'all in: such a file, a machine in good order, a plate about full',
        ...summaryOf(productOf(file, machine, group.plates['about full'])),
      },
    ],
  }
}

/** Of failed copies that show anything, how often each cause alone shows each label: means over the draws. */
function tableOf({ labels, byCause, count }: GroupDraws): GroupFigures['seen'] {
  const mean = (label: number, stage: number) => {
    let sum = 0
    for (let draw = 0; draw < count; draw++) sum += byCause[3 * (labels.length * draw + label) + stage] ?? 0
    return sum / count
  }
  return labels.map((seen, label) => ({ seen, file: mean(label, 0), machine: mean(label, 1), plate: mean(label, 2) }))
}
