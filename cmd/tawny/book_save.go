package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
)

func (k *bookCommand) newSave() *cobra.Command {
	f := &sharedFlags{}
	q := work.BookSave{}
	var format string
	c := &cobra.Command{
		Use:   "save",
		Short: "Find a blend and write it and its batch into the book",
		Long: `Finds the best blend for a skin and a target as 'tawny match' does, or takes the
one given with --part, and writes it into the book with its batch, planned and
not yet weighed. What was asked is kept whole, so that it can be made again.

Each powder is weighed from the lot named by --lot, else by the drawer, else from
the oldest lot in the book with enough left. With --client alone the skin is the
average of the client's readings. With --out the swatch card and the batch sheet
are written too.`,
		Example: `  tawny book save --skin tan --target skin:4,6,10 --load 4 --grams 250 --title 'House gold (demo)'
  tawny book save --client 'Dancer Ada (demo)' --target skin:3,5,8 --out bench
  tawny book save --skin tan --part 'pale gold=2' --part bronze=1 --lot 'pale gold=G-0117'`,
		Args: noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if in.Containers > 0 && !c.Flags().Changed("grams") {
				in.Grams = 0
			}
			if c.Flags().Changed("rank") && q.Rank < 1 {
				return usageError{fmt.Errorf("--rank is %d; 1, the best, or more is accepted", q.Rank)}
			}
			q.Input = in
			if err := readyToDeliver(f.out, format); err != nil {
				return err
			}
			report, stop := progress()
			v, err := k.book.Save(c.Context(), q, report)
			stop()
			if err != nil {
				return err
			}
			return f.saved(c, v, v, format, func(s *screen) { s.saved(v) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	f.bindBench(c.Flags())
	fs := c.Flags()
	fs.StringArrayVar(&q.Parts, "part", nil, "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable")
	fs.StringVar(&q.Title, "title", "", "what to call it (default after the skin)")
	fs.IntVar(&q.Rank, "rank", 0, "which of the blends found (default 1, the best)")
	fs.StringVar(&q.Client, "client", "", "whom it is for")
	fs.StringArrayVar(&q.Lots, "lot", nil, "the lot a powder is weighed from: 'pale gold=G-0117'; repeatable")
	fs.StringVar(&format, "format", "text", "of the batch sheet: text, markdown, html or pdf")
	bindNote(fs, &q.Note)
	return c
}

// readyToDeliver refuses what cannot be written before any work.
func readyToDeliver(out, format string) error {
	if _, err := work.SheetFile(format); err != nil {
		return err
	}
	return work.OpenOut(out)
}

// saved writes the card and the sheet where asked, and answers.
func (f *sharedFlags) saved(c *cobra.Command, v *work.BookSaved, whole any, format string, show func(*screen)) error {
	var files *work.Delivery
	if f.out != "" {
		var err error
		if files, err = v.Deliver(f.out, format); err != nil {
			return fmt.Errorf("saved as blend %d and batch %d, but: %w", v.BlendID, v.BatchID, err)
		}
	}
	return f.answer(c, whole, func(s *screen) {
		show(s)
		if files != nil {
			s.line("")
			s.line("Wrote %s and %s", files.Card, files.Sheet)
		}
	})
}

func (s *screen) saved(v *work.BookSaved) {
	whom := ""
	if v.Client != "" {
		whom = ", for " + v.Client
	}
	s.line("%s is in the book as blend %d and batch %d%s.", v.Name, v.BlendID, v.BatchID, whom)
	s.line("")
	s.plan(v)
	b := &v.Result.Blend
	off := ""
	if v.Result.Target != nil {
		off = fmt.Sprintf("   ΔE00 %.2f, %s", b.DeltaE00, b.Words)
	}
	s.line("")
	s.line("On the skin  %s%s%s", s.patch(b.Hex), labText(b.Lab), off)
	for _, n := range v.Notes {
		s.line("")
		s.fold("", n)
	}
	for _, x := range v.Batch.Findings {
		if x.Severity == batch.Stop || x.Severity == batch.Fault {
			s.line("")
			s.fold("", fmt.Sprintf("To mend first, %s: %s", x.About, x.Text))
		}
	}
	s.line("")
	p := v.Powders[0]
	s.fold("", fmt.Sprintf("Once it is made: tawny book weigh %d --as-planned, with what the balance showed where it differed, such as %s", v.BatchID, quoteIfSpaced(p.Name+"="+grams(p.Grams, v.Batch.BalanceG))))
}

func quoteIfSpaced(name string) string {
	for _, r := range name {
		if r == ' ' {
			return "'" + name + "'"
		}
	}
	return name
}

// plan lists the powders of a batch and where they come from.
func (s *screen) plan(v *work.BookSaved) {
	for _, p := range v.Powders {
		from := "no lot"
		if p.Lot != "" {
			from = "lot " + p.Lot
		}
		if p.LeftG != 0 {
			from += fmt.Sprintf(", %.4g g left", p.LeftG)
		}
		s.line("  %-22s %6.2f %%  %9s g   %s", p.Name, p.Percent, grams(p.Grams, v.Batch.BalanceG), from)
	}
	s.line("  %-22s %8s  %9s g   %s", "the batch", "", grams(v.Batch.TotalG, v.Batch.BalanceG), v.Batch.Base)
}

// grams writes a weight with the balance's digits.
func grams(g, step float64) string {
	digits := 0
	for step < 0.999 && digits < 4 {
		step *= 10
		digits++
	}
	return fmt.Sprintf("%.*f", digits, g)
}

func (k *bookCommand) newWeigh() *cobra.Command {
	q := work.BookWeigh{}
	c := command(&cobra.Command{
		Use:   "weigh BATCH [NAME=GRAMS]...",
		Short: "Write down what the balance showed",
		Long: `Writes the weights of a planned batch as actually weighed, which is what goes off
the stock. Name what you weighed as the sheet does, or by its line's number where
a name is in it twice. What is left out stays as it was; with --as-planned it was
weighed as planned. Weighing again replaces what was written.`,
		Example: `  tawny book weigh 3 'pale gold=3.01' bronze=0.98
  tawny book weigh 3 'pale gold=3.01' --as-planned --made 98.6
  tawny book weigh 3 --lot 'pale gold=G-0245' --on 2026-05-31
  tawny book weigh --correction 1 bronze=0.21`,
	}, func(c *cobra.Command, args []string) (*work.BookWeighed, error) {
		if q.Correction == 0 {
			if len(args) == 0 {
				return nil, usageError{fmt.Errorf("which batch? its number in the book is accepted; 'tawny book list batches' shows them")}
			}
			id, err := work.RecordID("batch", args[0])
			if err != nil {
				return nil, err
			}
			q.Batch, args = id, args[1:]
		}
		q.Weights = args
		return k.book.Weigh(c.Context(), q)
	}, (*screen).weighed)
	fs := c.Flags()
	fs.Int64Var(&q.Correction, "correction", 0, "weigh what a correction adds, instead of a batch")
	fs.StringArrayVar(&q.Lots, "lot", nil, "the lot it was weighed from, where not the one planned: 'pale gold=G-0245'; repeatable")
	fs.BoolVar(&q.AsPlanned, "as-planned", false, "whatever is not named was weighed as planned")
	fs.StringVar(&q.On, "on", "", "the day (default today)")
	fs.Float64Var(&q.MadeG, "made", 0, "what the finished batch weighed, in grams")
	return c
}

func (s *screen) weighed(v *work.BookWeighed) {
	if v.Batch != nil {
		s.line("Batch %d, %s, made on %s", v.Batch.ID, orNothing(v.Batch.Name), v.Batch.MadeOn)
		s.bookWeights(v.Batch.Weights)
	} else {
		s.line("Correction %d of batch %d, made on %s", v.Correction.ID, v.Correction.BatchID, v.Correction.MadeOn)
		s.bookWeights(v.Correction.Weights)
	}
	if len(v.Unweighed) > 0 {
		s.line("")
		s.fold("", fmt.Sprintf("Still to weigh: %s.", joinWords(v.Unweighed)))
	} else if v.Batch != nil {
		s.line("")
		s.line("%.6g g in all; the powders are %.2f %% of it.", v.SumG, v.Load)
	}
	for _, n := range v.Notes {
		s.line("")
		s.fold("", n)
	}
}

func (k *bookCommand) newCorrect() *cobra.Command {
	q := work.BookCorrection{}
	c := command(&cobra.Command{
		Use:   "mend-record BATCH",
		Short: "Write down a correction of a batch",
		Long: `Writes what a made batch was read as and what is added to bring it back to its
shade. Read on skin, the colour is compared with the blend's target. The
additions are planned until they are weighed: with --weighed they are on the
balance already.`,
		Example: `  tawny book mend-record 3 --measured lab:66,12,21 --add 'pale gold=0.3'
  tawny book mend-record 3 --how 'by eye' --add bronze=0.2 --weighed --after 98.8`,
		Args: oneName("a batch's number"),
	}, func(c *cobra.Command, args []string) (v *work.BookCorrected, err error) {
		if q.Batch, err = work.RecordID("batch", args[0]); err != nil {
			return nil, err
		}
		return k.book.Correct(c.Context(), q)
	}, (*screen).corrected)
	fs := c.Flags()
	fs.StringVar(&q.Measured, "measured", "", "the batch's colour as it is")
	fs.StringVar(&q.How, "how", "", "instrument, photo, by eye or typed (default by the colour)")
	fs.StringVar(&q.Seen, "seen", "skin", "on what: skin, jar, drawdown, powder or card")
	fs.StringArrayVar(&q.Add, "add", nil, "a powder added: 'bronze=0.2' (grams); repeatable")
	fs.StringArrayVar(&q.Lots, "lot", nil, "the lot it is weighed from: 'bronze=B-9'; repeatable")
	fs.BoolVar(&q.Weighed, "weighed", false, "the additions are weighed already")
	fs.Float64Var(&q.BeforeG, "before", 0, "the batch as it stood, in grams (default as made, or else as planned)")
	fs.Float64Var(&q.AfterG, "after", 0, "the batch once added to, weighed, in grams")
	fs.StringVar(&q.On, "on", "", "the day (default today once weighed)")
	bindNote(fs, &q.Note)
	return c
}

func (s *screen) corrected(v *work.BookCorrected) {
	s.fold("", v.Says)
	c := &v.Correction
	if c.Measured != nil {
		s.line("")
		s.line("Read as  %s, %s", labText(*c.Measured), seenWords(c.Seen))
		if c.DE00Before != nil {
			s.line("         ΔE00 %.2f from the blend's target", *c.DE00Before)
		}
	}
	s.line("")
	s.bookWeights(c.Weights)
}

func (k *bookCommand) newAgain() *cobra.Command {
	f := &sharedFlags{}
	q := work.BookAgain{}
	var format string
	c := &cobra.Command{
		Use:   "again BATCH",
		Short: "Make a batch again, from today's lots",
		Long: `Asks again for what a batch was made for, with today's lots: each at its own
strength and within what is left of it. The powders stay as they were as long as
all are to be had; else, or with --any, all that the request allowed are tried. A
blend that was stated keeps its powders, with their shares put right for strength;
with --any it is matched anew to its target. A client's skin is the average of
their readings today. The new blend and batch are written into the book; with
--out the swatch card and the batch sheet too.`,
		Example: "  tawny book again 3\n  tawny book again 3 --grams 500 --out bench\n  tawny book again 3 --containers 8 --ml 50 --any",
		Args:    oneName("a batch's number"),
		RunE: func(c *cobra.Command, args []string) (err error) {
			if q.Batch, err = work.RecordID("batch", args[0]); err != nil {
				return err
			}
			if q.Grams > 0 && q.Containers > 0 {
				return usageError{fmt.Errorf("grams and containers are both given; one is accepted")}
			}
			if err := readyToDeliver(f.out, format); err != nil {
				return err
			}
			report, stop := progress()
			v, err := k.book.Again(c.Context(), q, report)
			stop()
			if err != nil {
				return err
			}
			return f.saved(c, &v.BookSaved, v, format, func(s *screen) { s.madeAgain(v) })
		},
	}
	fs := c.Flags()
	fs.Float64Var(&q.Grams, "grams", 0, "size of the new batch in grams (default as then)")
	fs.IntVar(&q.Containers, "containers", 0, "instead of grams: how many containers")
	fs.Float64Var(&q.ML, "ml", 0, "content of one container in ml, with --containers")
	fs.StringVar(&q.Skin, "skin", "", "another skin than then")
	fs.StringVar(&q.Drawer, "drawer", "", "another drawer than then, a CSV file")
	fs.BoolVar(&q.AnyPowder, "any", false, "choose from all powders allowed, not only those used then")
	fs.StringVar(&f.out, "out", "", "folder to write the card and the sheet into")
	fs.StringVar(&format, "format", "text", "of the batch sheet: text, markdown, html or pdf")
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	bindNote(fs, &q.Note)
	return c
}

func (s *screen) madeAgain(v *work.BookMadeAgain) {
	made := "planned, never weighed"
	if v.Old.MadeOn != "" {
		made = "made on " + v.Old.MadeOn
	}
	s.line("Again: batch %d, %s, %s", v.From, orNothing(v.Old.Name), made)
	for _, l := range v.Then {
		now := "nothing left"
		if !l.Gone {
			now = lotWords(l.LotNow, l.StrengthNow)
		}
		s.line("  %-22s then %s; today %s", l.Name, lotWords(l.Lot, l.StrengthThen), now)
	}
	s.fold("", v.Choice)
	if v.OldKnown {
		s.line("Predicted ΔE00 %.2f from the old one's prediction.", v.OffOld)
		if v.SkinOff > 0.05 {
			s.fold("", fmt.Sprintf("The skin is ΔE00 %.2f from the one then.", v.SkinOff))
		}
	}
	s.line("")
	s.saved(&v.BookSaved)
}

func lotWords(lot string, strength float64) string {
	if lot == "" {
		return "no lot"
	}
	if strength != 1 {
		return fmt.Sprintf("lot %s (strength %.3g)", lot, strength)
	}
	return "lot " + lot
}
