/** How to read the tables; the command puts it above them. */
export const reading = `## How to read it

**The groups.** Unless a row says otherwise: 600 support sets by 100 sculptors, 100 members with two printers each, two
upkeep periods a printer, 3,000 reports of 1 to 10 copies (five a set, some sets far more). Sculptors' means are drawn
around .85, sets around their sculptor, fresh printers from Beta(19, 1), worn ones from Beta(5, 5), plates from their
priors. Copies of one plate share their fate with correlation .1 at every stage, one failure in five is "don't know".
What a member sees is drawn from the service's own table, except where labels are wrong: there one in five is drawn
blindly. The service then fits the reports as it does every night, and learns its hyperparameters from them.
"As assumed" are groups that are drawn from the model itself. Worn printers among fresh ones are not: the model knows one
Beta for all printers. "Unsigned" rows hide who reported, and so leave out what is done about members.

**Intervals.** An 80 % interval holds the truth in 78 to 83 of 100 cases in every kind of group that is drawn as assumed,
for support sets and for printer periods. Messages alone fall short of that: a message says "half a failure" where it is a
whole one or none, which matters most for files that hardly ever fail (sculptors unlike); and what all printers have in
common with all plates, which only what was seen tells apart, they are too sure of. So the service samples its group at
night, with the copies of a plate tied and the hyperparameters unknown, and shows what it finds. (A group too large for
that, some hundred thousand reports, is shown by a second reading of its reports instead. Before there was sampling this
table was made of that: 75 to 81 of 100 for support sets, and 70 to 80 for printer periods, the fewest where there were
most reports, since a common error of .005 does not grow smaller with an interval.) With worn printers among fresh ones,
for which there is only one Beta, printers' intervals are somewhat too wide.

Where a file fails less than once in a billion copies, its truth and its interval's end round to the same number; there the
law of its success is asked, which has no end.

**Picking.** The service's order is nearer to the truth than that of any naive rule in every kind of group, and its picks
lose less in attempts and in money. The strongest rival drops failures that look like the printer's or the plate's: it
uses the same labels, only more roughly. Where machines are worn the service's regret in money is a fifth to two fifths of that
of the other three; against that rival it is mostly about half, not the two fifths that were aimed at. More than that is not
in the reports: told the true success of every printer and every plate, the same sampling orders and picks no better. That
was measured aside, not by this command, five groups each: Kendall's tau .620 told against .620 (10 % worn) and .619 against
.616 (30 % worn), regret in money .17 against .18 and .22 against .22. What is lost is for want of reports, not for blame
that goes astray: with ten reports a set the goal is reached or nearly so.

**Members.** Whose reports one habit explains a hundred times better than plain reporting counts half. Honest members get
there hardly ever, even when copies are tied at .3 where .1 is assumed (the table below). Only reports on supports that
others have printed, too, are held against them: elsewhere there is nobody to contradict. Somebody who blames the file for
everything is found where there is something to find: on worn printers, with files that others print well; on good
printers the habit does little harm and leaves little trace. Somebody who reports failures only is found with a hundred
reports, hardly with thirty. What is halved changes little for the group in either case, since the model does not follow
such reports far: compare the signed and unsigned rows.`
