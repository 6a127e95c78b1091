package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/batch"
)

var bookSaveJob = &Job{
	Name:     "book save",
	Searches: true,
	Short:    "Find a blend and write it and its batch into the book",
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
	New: func() Task {
		q := &BookSave{}
		in := &q.Input
		var format, out string
		return asking(func(ctx context.Context, env *Env) (_ Result, err error) {
			asked := *q
			if asked.Input, err = in.ready(env); err != nil {
				return nil, err
			}
			if env.given("containers") && !env.given("grams") {
				asked.Grams = 0
			}
			v, err := env.Save(ctx, asked, env.Progress)
			if err == nil && env.Sends {
				err = v.Result.deliver(env, "card", "sheet", format, CardOptions{Jars: true})
			}
			return v, err
		}, append(q.fields(), Group{"Book", []Field{
			{Name: "client", Words: "whom it is for", Lists: "client", To: &q.Client},
			{Name: "lot", Words: "the lot a powder is weighed from: 'pale gold=G-0117'; repeatable", To: &q.Lots},
			noteField(&q.Note),
			formatField(&format),
			outField(&out),
		}})...)
	},
}

// Show says what is in the book and what to weigh.
func (v *BookSaved) Show(s *Screen) {
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
func (s *Screen) plan(v *BookSaved) {
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

var bookWeighJob = &Job{
	Name:  "book weigh",
	Args:  "BATCH [NAME=GRAMS]...",
	Short: "Write down what the balance showed",
	Long: `Writes the weights of a planned batch as actually weighed, which is what goes off
the stock. Name what you weighed as the sheet does, or by its line's number where
a name is in it twice. What is left out stays as it was; with --as-planned it was
weighed as planned. Weighing again replaces what was written.`,
	Example: `  tawny book weigh 3 'pale gold=3.01' bronze=0.98
  tawny book weigh 3 'pale gold=3.01' --as-planned --made 98.6
  tawny book weigh 3 --lot 'pale gold=G-0245' --on 2026-05-31
  tawny book weigh --correction 1 bronze=0.21`,
	New: func() Task {
		q := &BookWeigh{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			if q.Correction != 0 && q.BatchText != "" {
				// A correction's words are all weights.
				q.Weights, q.BatchText = append([]string{q.BatchText}, q.Weights...), ""
			}
			return env.Book.Weigh(ctx, *q)
		}, words(
			Field{Name: "batch", Words: "a batch's number in the book is accepted; 'tawny book list batches' shows them", Arg: true, Maybe: true, Lists: "batch", To: &q.BatchText},
			Field{Name: "weight", Words: "what the balance showed: name=grams", Arg: true, Maybe: true, Rest: true, Lists: "weight", To: &q.Weights},
		), Group{"Weights", []Field{
			{Name: "correction", Words: "weigh what a correction adds, instead of a batch", Low: 1, To: &q.Correction},
			{Name: "lot", Words: "the lot it was weighed from, where not the one planned: 'pale gold=G-0245'; repeatable", To: &q.Lots},
			{Name: "as-planned", Words: "whatever is not named was weighed as planned", To: &q.AsPlanned},
			{Name: "on", Words: "the day (default today)", To: &q.On},
			{Name: "made", Words: "what the finished batch weighed, in grams", Unit: "g", High: 1e6, Above: true, To: &q.MadeG},
		}})
	},
}

// Show lists the weights.
func (v *BookWeighed) Show(s *Screen) {
	if v.Batch != nil {
		s.line("Batch %d, %s, made on %s", v.Batch.ID, orNothing(v.Batch.Name), v.Batch.MadeOn)
		s.bookWeights(v.Batch.Weights)
	} else {
		s.line("Correction %d of batch %d, made on %s", v.Correction.ID, v.Correction.BatchID, v.Correction.MadeOn)
		s.bookWeights(v.Correction.Weights)
	}
	if len(v.Unweighed) > 0 {
		s.line("")
		s.fold("", fmt.Sprintf("Still to weigh: %s.", strings.Join(v.Unweighed, ", ")))
	} else if v.Batch != nil {
		s.line("")
		s.line("%.6g g in all; the powders are %.2f %% of it.", v.SumG, v.Load)
	}
	for _, n := range v.Notes {
		s.line("")
		s.fold("", n)
	}
}

var bookMendRecordJob = &Job{
	Name:  "book mend-record",
	Args:  "BATCH",
	Short: "Write down a correction of a batch",
	Long: `Writes what a made batch was read as and what is added to bring it back to its
shade. Read on skin, the colour is compared with the blend's target. The
additions are planned until they are weighed: with --weighed they are on the
balance already.`,
	Example: `  tawny book mend-record 3 --measured lab:66,12,21 --add 'pale gold=0.3'
  tawny book mend-record 3 --how 'by eye' --add bronze=0.2 --weighed --after 98.8`,
	New: func() Task {
		q := &BookCorrection{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Correct(ctx, *q) },
			batchArg(&q.BatchText), Group{"Correction", []Field{
				{Name: "measured", Words: "the batch's colour as it is", To: &q.Measured},
				{Name: "how", Words: "instrument, photo, by eye or typed (default by the colour)", Lists: "how", To: &q.How},
				{Name: "seen", Words: "on what: skin, jar, drawdown, powder or card (default skin)", Lists: "seen", To: &q.Seen},
				{Name: "add", Words: "a powder added: 'bronze=0.2' (grams); repeatable", Lists: "powder=", To: &q.Add},
				{Name: "lot", Words: "the lot it is weighed from: 'bronze=B-9'; repeatable", To: &q.Lots},
				{Name: "weighed", Words: "the additions are weighed already", To: &q.Weighed},
				{Name: "before", Words: "the batch as it stood, in grams (default as made, or else as planned)", Unit: "g", High: 1e6, Above: true, To: &q.BeforeG},
				{Name: "after", Words: "the batch once added to, weighed, in grams", Unit: "g", High: 1e6, Above: true, To: &q.AfterG},
				{Name: "on", Words: "the day (default today once weighed)", To: &q.On},
				noteField(&q.Note),
			}})
	},
}

func batchArg(to *string) Group {
	return words(Field{Name: "batch", Words: "a batch's number in the book is accepted", Arg: true, Lists: "batch", To: to})
}

// Show writes the correction.
func (v *BookCorrected) Show(s *Screen) {
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

var bookAgainJob = &Job{
	Name:     "book again",
	Searches: true,
	Args:     "BATCH",
	Short:    "Make a batch again, from today's lots",
	Long: `Asks again for what a batch was made for, with today's lots: each at its own
strength and within what is left of it. The powders stay as they were as long as
all are to be had; else, or with --any, all that the request allowed are tried. A
blend that was stated keeps its powders, with their shares put right for strength;
with --any it is matched anew to its target. A client's skin is the average of
their readings today. The new blend and batch are written into the book; with
--out the swatch card and the batch sheet too.`,
	Example: "  tawny book again 3\n  tawny book again 3 --grams 500 --out bench\n  tawny book again 3 --containers 8 --ml 50 --any",
	New: func() Task {
		q := &BookAgain{}
		in := &Input{}
		var format, out string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q.Grams, q.Containers, q.ML = in.Grams, in.Containers, in.ML
			if q.Grams > 0 && q.Containers > 0 {
				return nil, faultf("grams", "and {containers} are both given; one is accepted")
			}
			v, err := env.Again(ctx, *q, env.Progress)
			if err == nil && env.Sends {
				err = v.Result.deliver(env, "card", "sheet", format, CardOptions{Jars: true})
			}
			return v, err
		}, batchArg(&q.BatchText), Group{"New batch", append(in.sizeFields(),
			Field{Name: "skin", Words: "another skin than then", Lists: "skin", To: &q.Skin},
			drawerField(&q.Drawer, "another drawer than then, a CSV file"),
			Field{Name: "any", Words: "choose from all powders allowed, not only those used then", To: &q.AnyPowder},
			noteField(&q.Note),
			formatField(&format),
			outField(&out),
		)})
	},
}

// Show sets the batch then and the new one beside each other.
func (v *BookMadeAgain) Show(s *Screen) {
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
	v.BookSaved.Show(s)
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
