import { Facts, Section } from '../parts/section.tsx'

const words: [string, string][] = [
  ['group', 'the people here: members; stewards, who keep things true and let people in and out; one owner'],
  ['unit', 'what has to stand on the table: name, scale, base, models in one, price of its box'],
  ['request', 'a member asks the group for a unit, with how many models and which options; open, settled or withdrawn'],
  [
    'file',
    'a printable set of models by one sculptor, as sold or given. Only facts about it are kept here, never the file',
  ],
  ['sculptor', 'who made it. One who asked not to be named is named to stewards alone'],
  ['stand-in', 'a file that can take the place of a unit'],
  ['revision', 'a dated state of a file; a later one may have mended its supports'],
  ['support set', 'how a revision is supported: as supplied, with extra supports, or with your own'],
  ['offer', 'a way to get files: purchase, bundle, membership or free, with its price and the day it was seen'],
  ['proposal', '“this file answers that request”'],
  ['vote', 'your answer to “Would you field it?”; you can change it'],
  ['must-have', 'an option or weapon that the models need'],
  [
    'snag',
    'something wrong with a file: it stops the print, costs time, or only looks; open, the sculptor knows, or mended in a later revision',
  ],
  ['line', 'a file with one kind of support, over its revisions: what print success is counted by'],
  ['plate', 'what came off a printer at once: prints of one or more files'],
  ['print report', 'how many copies you tried, how many came out good, and what you saw on the others'],
  ['mended', 'of the failed copies those that were saved by hand: failed prints, and models on the table all the same'],
  ['crowding', 'how full the plate was: half empty, about full or packed'],
  ['upkeep', 'film changed, plate levelled, vat filtered, screen replaced: the printer gets a fresh look'],
  ['archive', 'the files you have already; their price counts as nothing for you'],
  ['cost to table', 'price, resin, plates and expected failures together, until every model stands'],
]

/** What the words of these pages mean. */
export function HelpWords() {
  return (
    <Section heading="The words" id="words">
      <Facts facts={words} />
    </Section>
  )
}
