import type { FileKey } from '../../db/demo/files/index.ts'
import { gaper, heronRider, hound, oxRider } from './beasts.ts'
import { person, type Stance } from './people.ts'
import { placed, type Solid } from './solids.ts'
import { barge, enthroned, giant, heliograph, punt, sledge, walkingHouse } from './structures.ts'

const on = (stance: Stance, scale = 1) => placed(person(stance), { scale })
/** At 32 mm, a seventh larger than at 28. */
const large = 32 / 28

/**
 * One model of each file, as it would stand on its base. Files that are left out have not been measured by anybody: a
 * dashed box stands for them.
 */
export const cast: Partial<Record<FileKey, () => Solid[]>> = {
  'reed-sentries': () => on({ head: 'hood', right: 'spear', coat: 'cloak', leftAt: 13, left: 'horn' }),
  'watch-on-the-dyke': () => on({ head: 'kettle', right: 'banner', rightAt: 19, coat: 'coat', stride: 3.6 }, 1.02),
  'bog-bows': () => on({ head: 'bare', left: 'bow', leftAt: 18, rightAt: 24, stride: 4.6, girth: 1.2 }, 0.94),
  'sedge-walkers': () => on({ head: 'brim', right: 'spear', rightAt: 20, stride: 5.2, left: 'sack' }),
  'quiet-wardens': () => on({ head: 'hood', left: 'bow', leftAt: 16, coat: 'robe', rightAt: 12 }, 1.04),
  'nine-under-hoods': () => on({ head: 'hood', left: 'drawn', leftAt: 22, rightAt: 22, coat: 'cloak' }, 1.04),
  'keepers-of-the-causeway': () => on({ head: 'brim', right: 'lantern', left: 'bow', leftAt: 15, coat: 'coat' }),
  'wet-boots': () => on({ head: 'feather', left: 'drawn', leftAt: 21, rightAt: 21, stride: 5, girth: 0.9 }, 0.98),
  'wardens-at-low-water': () => on({ head: 'bare', right: 'pole', rightAt: 22, coat: 'coat', stride: 4.4 }, 1.06),
  'cutters-turned-out': () =>
    on({ head: 'brim', right: 'sickle', rightAt: 26, left: 'basket', leftAt: 14, stride: 3.4 }, 0.92),
  'fog-bell-watch': () => on({ head: 'hood', right: 'spear', left: 'bell', leftAt: 26, coat: 'robe' }, 1.02),
  'rushlight-patrol': () =>
    on({ head: 'helm', right: 'lantern', left: 'horn', leftAt: 22, coat: 'coat', stride: 3.8 }, 1.02),
  'drovers-by-lamplight': () => on({ head: 'brim', right: 'lantern', coat: 'cloak', girth: 1.15 }),
  'lamp-and-crook': () => on({ head: 'hood', right: 'lantern', left: 'crook', leftAt: 20, coat: 'robe' }, 1.05),
  'eel-spears-complete': () => on({ head: 'kettle', right: 'fork', left: 'net', leftAt: 18, stride: 4 }),
  'pressed-hundred': () => on({ head: 'bare', right: 'club', rightAt: 23, stride: 4.8, girth: 0.92 }, 0.96),
  'called-from-the-hay': () => on({ head: 'brim', right: 'fork', coat: 'coat', stride: 3.2 }),
  'mudlark-urchins': () => on({ head: 'bare', right: 'sling', rightAt: 27, stride: 4.2, girth: 0.95 }, 0.8),
  'slingers-in-the-silt': () =>
    on({ head: 'brim', right: 'sling', rightAt: 28, left: 'basket', leftAt: 13, coat: 'coat' }, 0.94),
  'stilt-cavalry': () => heronRider({ head: 'helm', right: 'lance', rightAt: 20 }, { leg: 29, bill: 13 }),
  'riders-of-the-long-leg': () => heronRider({ head: 'feather', left: 'bow', leftAt: 20 }, { leg: 27, stout: 1.15 }),
  'grey-leg-riders': () => heronRider({ head: 'hood', right: 'lance', rightAt: 18 }, { leg: 23, bill: 9 }),
  'wading-knights': () =>
    heronRider({ head: 'kettle', right: 'sword', rightAt: 24, girth: 1.2 }, { leg: 16, stout: 1.25, bill: 8 }),
  'tallow-mother-enthroned': () => enthroned({ head: 'crown', right: 'brazier', rightAt: 20 }),
  'the-candle-widow': () => on({ head: 'crown', coat: 'robe', left: 'flask', leftAt: 19, right: 'crook' }, 1.25),
  'he-who-poles': () => on({ head: 'hood', right: 'pole', rightAt: 22, coat: 'robe' }, 1.2),
  'toll-for-two': () => [
    ...placed(person({ head: 'brim', right: 'pole', rightAt: 22, coat: 'coat' }), { by: [9, 0, 0], scale: 1.1 }),
    ...placed(person({ head: 'tall', coat: 'cloak', left: 'sack', leftAt: 13 }), { by: [-11, -2, 0], scale: 0.95 }),
  ],
  'sluicegate-giant': () => giant({ head: 'kettle', right: 'club', rightAt: 19 }, { chain: true, scale: 3.2 }),
  'lock-keepers-folly': () => giant({ head: 'tall', coat: 'coat', rightAt: 18 }, { bell: true, scale: 2.9 }),
  'gate-that-walks': () => giant({ head: 'bare', girth: 1.7, rightAt: 14 }, { chain: true, scale: 2.8 }),
  'old-margery': () => gaper({ gape: 48, tall: 0.92 }),
  'the-polder-yawns': () => gaper({ gape: 74, tall: 1, brood: 3 }),
  'gaper-gorged': () => gaper({ gape: 26, tall: 0.84 }),
  'punt-with-mortar': () =>
    punt(
      [
        { head: 'hood', right: 'pole', rightAt: 22 },
        { head: 'kettle', right: 'lantern' },
      ],
      { awning: true },
    ),
  'gun-on-a-raft': () =>
    punt(
      [
        { head: 'bare', right: 'pole', rightAt: 21 },
        { head: 'brim', left: 'bucket', leftAt: 14 },
      ],
      { raft: true },
    ),
  'bailiffs-of-the-pan': () =>
    on({ head: 'tall', right: 'hammer', rightAt: 19, left: 'ledger', leftAt: 18, coat: 'coat', girth: 1.1 }, 1.08),
  'debt-men': () => on({ head: 'brim', right: 'hammer', rightAt: 26, stride: 4.8, girth: 1.2 }),
  'clerks-of-the-low-ledger': () =>
    on({ head: 'tall', right: 'quill', rightAt: 24, left: 'ledger', leftAt: 19, coat: 'robe' }),
  'three-sodden-clerks': () =>
    on({ head: 'bare', left: 'ledger', leftAt: 23, right: 'sack', rightAt: 11, coat: 'coat' }, 0.96),
  'house-on-the-march': () => walkingHouse({ legs: 6, ladder: true }),
  'cottage-on-the-move': () => walkingHouse({ legs: 4, storeys: 1 }),
  'pikes-of-the-blue-glaze': () => on({ head: 'helm', right: 'pike', rightAt: 20, stride: 3.4 }, large),
  'twenty-from-the-yard': () =>
    on({ head: 'kettle', right: 'pike', left: 'drum', leftAt: 15, girth: 1.15 }, large * 0.98),
  'long-poles': () => on({ head: 'bare', right: 'levelled', rightAt: 18, stride: 5, girth: 1.2 }, large * 0.95),
  'row-of-pikes': () => on({ head: 'brim', right: 'pike', girth: 0.9, stride: 2.4 }, large * 0.95),
  'sweeps-with-hooks': () => on({ head: 'tall', right: 'hook', left: 'sack', leftAt: 20, coat: 'coat' }, large),
  'flue-crawlers': () => on({ head: 'hood', right: 'hook', rightAt: 22, stride: 5.6, girth: 0.9 }, large),
  'soot-choir': () => on({ head: 'tall', right: 'brush', left: 'bell', leftAt: 27, coat: 'robe' }),
  'bellows-men': () =>
    on({ head: 'kettle', left: 'bellows', leftAt: 17, right: 'tongs', rightAt: 20, girth: 1.45 }, large),
  'heavy-breathers': () => on({ head: 'helm', left: 'bellows', leftAt: 15, girth: 1.5, coat: 'coat' }, large),
  'crazed-pack': () => hound({ spines: true }),
  'pack-of-cracks': () => hound({ stout: 1.35 }),
  'riders-of-the-tip': () => oxRider({ head: 'helm', right: 'lance', rightAt: 20 }, { furnace: true, horns: 11 }),
  'slag-oxen': () => oxRider({ head: 'brim', right: 'lance', rightAt: 18 }, { panniers: true, horns: 7 }),
  'tip-cattle': () => oxRider({ head: 'bare', right: 'club', rightAt: 25 }, { long: 0.85, horns: 13 }),
  'the-firing-master': () =>
    on({ head: 'kettle', right: 'brazier', rightAt: 20, coat: 'robe', girth: 1.3 }, large * 1.1),
  'nine-day-fire': () =>
    on({ head: 'crown', right: 'brazier', left: 'tongs', leftAt: 19, coat: 'cloak', girth: 1.2 }, large * 1.12),
  'widow-with-mould': () => on({ head: 'veil', left: 'mould', leftAt: 18, coat: 'robe' }, large * 1.1),
  'raw-clay-giant': () =>
    giant({ head: 'bare', girth: 1.9, rightAt: 24, leftAt: 10, stride: 5 }, { gate: false, scale: 4 }),
  'it-never-dried': () =>
    giant({ head: 'bare', girth: 2.1, rightAt: 12, leftAt: 12, coat: 'robe' }, { gate: false, scale: 3.6 }),
  'mirror-boys': () =>
    heliograph([
      { head: 'brim', rightAt: 25 },
      { head: 'tall', leftAt: 24, coat: 'coat' },
      { head: 'bare', left: 'ledger' },
    ]),
  'dancers-on-shards': () =>
    on({ head: 'veil', right: 'blade', rightAt: 26, left: 'blade', leftAt: 14, stride: 5.4, girth: 0.85 }, large),
  'glass-feet': () =>
    on({ head: 'feather', right: 'sword', rightAt: 25, left: 'sword', leftAt: 20, stride: 4.6, girth: 0.85 }, large),
  'modular-cinder-barge': () =>
    barge([{ head: 'brim', right: 'hook' }, { head: 'kettle' }, { head: 'tall', coat: 'coat' }]),
  'quench-crew': () =>
    on({ head: 'helm', right: 'bucket', rightAt: 14, left: 'flask', leftAt: 21, coat: 'coat' }, large),
  'pass-it-along': () =>
    on({ head: 'bare', right: 'bucket', rightAt: 22, left: 'bucket', leftAt: 13, stride: 4.4, girth: 1.2 }, large),
  'six-dogs-one-sledge': () => sledge(hound(), 6),
}
