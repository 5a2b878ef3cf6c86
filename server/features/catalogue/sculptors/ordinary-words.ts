/**
 * Words of four letters and more that names of sculptors are made of and members' texts as well: alone they give nobody
 * away. Without the "s" of several. From the trade and its settings, common practice, no source.
 */
const ordinary = new Set(
  `
  after also from into more only over some than that their them then there these they this what when where which with
  your ours mine black white grey gray green blue brown golden gold silver bronze copper brass tin iron steel lead
  pewter stone rock clay bone wood oak ash ember flame fire frost winter summer autumn spring night dawn dusk moon star
  light dark shadow storm thunder river lake marsh moor fen hill mountain valley forest field north south east west old
  young great little small large wild free lost last first hidden secret silent broken ancient noble royal crown throne
  king queen prince princess lord lady knight warden guard sentry soldier warrior archer rider wizard witch mage giant
  dwarf goblin dragon demon ghost spirit skull beast wolf bear raven crow hawk eagle owl heron fox lion tiger boar stag
  horse hound snake spider sword shield spear hammer axe banner helm arrow bow blade castle tower gate wall bridge door
  house home hall lane road street corner yard mill forge anvil foundry smithy workshop works work studio studios atelier
  factory lab press bench table desk shelf cellar garage shed garden tabletop game gaming hobby craft crafts maker making
  sculptor sculpt sculpting sculpted sculpture model modeller modelling miniature mini figure figurine print printer
  printing printed printable resin layer cast casting supply support supplied scale base bust terrain army armies legion
  company squad troop tribe clan guild club brother sister family friend people folk group team design designer digital
  art artist arts creation creative collection collective store shop market trade world realm land kingdom empire hero
  legend myth saga tale story fantasy medieval modern future space battle war peace
  `
    .split(/\s+/)
    .filter(Boolean),
)

/** @param word in small plain letters */
export const isOrdinary = (word: string) =>
  ordinary.has(word) || (word.endsWith('s') && ordinary.has(word.slice(0, -1)))
