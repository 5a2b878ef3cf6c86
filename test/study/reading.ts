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

**Intervals.** For support sets an 80 % interval holds the truth in 75 to 81 of 100 cases. It was 64 to 82 as long as it
rested on messages alone: a message says "half a failure" where it is a whole one or none, which matters most for files
that hardly ever fail (sculptors unlike). The cases of every set and printer period, counted in a second reading of the
reports, mend that. What is left:

- copies that are tied. Expectation propagation weighs a plate's copies down but still takes each for an event of its own,
  and finds a little too much fault with files and printers, too little with plates. Where copies are each for themselves
  the sets reach 79 of 100.
- what all printers have in common with all plates. Only what was seen tells them apart. If the printers' general level is
  taken for .005 too low, every printer's interval is off to the same side, and none of them knows; the more reports there
  are, the narrower the intervals and the worse it looks (dense: 70 of 100), though the error itself is small.
- one Beta for fresh and worn printers: too wide for most of them, so that up to 88 of 100 are covered.

Measured aside, not by this command: with all hyperparameters held at the truth the printers' intervals hold it in 79 of
100 cases; plates of normal crowding came out .01 too high; taking all of a plate's evidence out before it is judged,
rather than one copy's, brought about half a point.

**Picking.** The service's order is nearer to the truth than that of any naive rule in every kind of group, and its picks
lose less in attempts and in money. The strongest rival drops failures that look like the printer's or the plate's: it
uses the same labels, only more roughly. Where machines are worn the service's regret in money is less than half of that
of the other three; against that rival it is 36 to 58 % lower, not the 60 % that were aimed at. With five reports a set
there is much that no rule can know; with ten the gap grows.

**Members.** Whose reports one habit explains a hundred times better than plain reporting counts half. Honest members get
there 3 times in 20,000, and 2 times in 1,600 when copies are tied at .3 where .1 is assumed. Somebody who blames the file for
everything is found where there is something to find: on worn printers, with files that others print well; on good
printers the habit does little harm and leaves little trace. Somebody who reports failures only is found with a hundred
reports, hardly with thirty. What is halved changes little for the group in either case, since the model does not follow
such reports far: compare the signed and unsigned rows.`
