import type { Seen } from '../tables.ts'

/** What members write when all came out well. It has to suit a giant as well as a dozen spearmen. */
export const allGood: readonly string[] = [
  'Clean.',
  'No complaints.',
  'First go.',
  'Supports came off in warm water without marks.',
  'Sharp down to the buckles.',
  'Slow, but it came out.',
  'Second time, same result.',
  'Printed over night, found everything where it should be.',
  'Hardly any marks, a quick rub and done.',
  'Better than I expected at this price.',
  'Tilted as supplied, left alone, good.',
  'New bottle of resin, same settings.',
  'Added a drop of flexible resin. No thin part broke.',
  'Pulled them off the plate still warm, no scars.',
  'Would do again.',
  'Kept the room at 22 degrees this time. Helps.',
  'My first print of this one. Nothing to add.',
]

/** What members write about failed copies, by what they saw most. */
export const remarksBySeen: Readonly<Record<Seen, readonly string[]>> = {
  'supports snapped': [
    'Tips let go half way up.',
    'Found the forest standing and the figure gone.',
    'Thicker tips next time.',
    'Snapped a third of the way up.',
    'Hung by one support. Added three below, fine after that.',
    'The outer supports gave way first.',
    'Broke where the big flat side begins.',
  ],
  'part had no support': [
    'Needed one support more on the left, fine after that.',
    'One edge was missing, it starts in the air.',
    'Found the missing bit in the vat.',
    'One island that I missed in the preview.',
    'The very end of it is not there. Two supports would do.',
    'Two little things float. Look at the layers before you print.',
  ],
  'nothing stuck to the plate': [
    'Empty plate. Raft stayed on the film.',
    'Nothing there but the first layers, down in the vat.',
    'Longer bottom exposure next time.',
    'Peeled off in the first ten minutes, by the sound of it.',
    'Cleaned and roughened the plate since.',
    'Let go at one corner, then all.',
  ],
  'one side of the plate only': [
    'Left half fine, right half empty.',
    'Only the ones near the front came out.',
    'Half a plate missing again.',
    'The same side as last time.',
    'Everything at the back is gone.',
    'Good on the left. Not good on the right.',
  ],
  'stuck to the film': [
    'Pancake on the film.',
    'Had to drain the vat to get it off.',
    'A flat piece on the film, and nothing above it.',
    'Stuck to the film from about a third up.',
    'Scraped it off with the soft card, the film has a dent now.',
    'It made that popping noise, then nothing.',
  ],
  'layers pulled apart': [
    'A clean crack across the middle.',
    'Split half way up, twice.',
    'Lines all around where it lifted.',
    'Came apart in two neat pieces.',
    'The widest layers parted.',
  ],
  'soft detail': [
    'Faces like soap.',
    'Everything a little round at the edges.',
    'Blurred on one side only.',
    'Looks half melted. Perhaps the resin was cold.',
  ],
  "don't know": [
    'Was out when it happened.',
    'No idea, binned it before I looked.',
    'It was like that when I came home.',
    'Could not tell from the mess.',
    'Who knows.',
    'Did not look closely.',
  ],
}

/** Said of a few, whatever came out. */
export const anyway: readonly string[] = [
  'For the club table.',
  'Test before the big batch.',
  'Reprint of the ones I broke.',
  'Turned them all by a quarter to fit more on.',
  'With the resin left over from last month.',
  'Scaled by 2 %, no difference that I can see.',
  'As a gift, so I cared a little more.',
]
