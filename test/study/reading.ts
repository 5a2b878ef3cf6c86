/** How to read the tables; the command puts it above them. */
export const reading = `## How to read it

**The groups.** "As assumed" are drawn from the model and its priors. All others are not: files, machines and plates lie on
the logit scale, one file in twelve is botched, copies of a print and of a plate share luck of their own. Films have a life
of their own (40 plates in the middle), fade over 10 to 20 and are changed sooner or later after bad plates; every third
printer stands in a room that is cold for a quarter of the year; 3 plates in 100 lose most of their copies to a mishap of
the machine's. A plate of which all is good is reported half as often as one with failures. Of the failed copies 25 %
are "don't know"; what a failure looks like is another trade's table than the service's, and differs from group to group;
15 or 35 % of the looks are what that member always notes. 3 to 12 members with one printer or two. A machine's truth is
that of its last reported plate, so mostly of a film that is about to be changed.

**Why goals are missed.** (Measured aside, with the same groups, unless a table here says it.)

- *Machines in large groups.* A film that fades is not one that breaks in one step: half of the periods end on one, and
  at 1,000 reports the model takes two thirds of these for machines in order, whose mean falls with them. With fading
  alone and everything else as assumed, intervals of machines hold in 74 % at 1,000 reports; with mishaps too in 63 %, with
  cold rooms in 66 %, with good plates kept back in 59 %. The group's hazard is learnt too low (.005 where films last 45
  plates), since steps are hardly ever seen. A hazard of Beta(20, 800), worn machines of Beta(6, 3) and, for a worn machine
  as it is now, .8 for each plate back, with a table that weighs 15, raise 72, 71 and 64 % (100, 300, 1,000 reports, 15 %
  blind) to 77, 75 and 72 %, and where looks follow the service's table 80, 78 and 65 % to 85, 86 and 80 %; films are then
  noticed after 8 plates with .67 false alarms, or 10 with .4. The threshold for a look has to rise to .42 for that.
- *Small groups* have intervals that are rather too wide: ten reports tell little, and priors are wider than these files.
- *Verdicts.* Said of the machine, .75 is .52 here. Where looks follow the service's table and blind ones are even it is
  .71, and .80 where .85 is said (60 groups of 100 reports each); with another table .61, and where members always note
  the same besides .54. A table that weighs 15 rather than 40 costs nothing where it is
  right and gains .01 of Brier score where it is not. Where all looks are
  as assumed but good plates are kept back, the machine is blamed somewhat too much and the plate too little. So "Most
  likely" is right three times in four of files (.74 for a single failed copy at 35 % blind), of machines from four failed
  copies on, or two at 15 % blind, and of plates never.
- *Chains that do not agree.* In large groups two pictures fit: the machine takes what fails together and the plate the
  rest, or the other way round (rho .6 and .02, or .02 and .7). Neither 8,000 sweeps nor letting two stages change places
  on a plate leads from one to the other. What is said of all three stages together is the same in both. In groups that are
  drawn as assumed it is 400 kept draws of which the least good of fifty nodes goes over 1.05.
- *Films.* At the threshold of .25 they are noticed in time, with three times as many false alarms as wanted; with as few of
  them a running sum of failures is as fast or faster.
- *Six new files.* Told the true causes, the same count finds the best one in 73 of 100 requests; files as near to each other
  as these are not told apart by some thirty plates each of which only the causes are guessed.`
