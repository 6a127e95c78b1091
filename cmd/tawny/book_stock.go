package main

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"tawny/blend/book"
	"tawny/cmd/tawny/work"
)

func (k *bookCommand) newStock() *cobra.Command {
	return command(&cobra.Command{
		Use:   "stock [POWDER]",
		Short: "Say what is left of every lot",
		Long: `Lists every lot with what was bought, what was weighed into batches and
corrections, and what is left. 'tawny book show lot NUMBER' lists each coming and
going; 'tawny book count' puts the book right by the balance.`,
		Example: "  tawny book stock\n  tawny book stock 'pale gold' --json",
		Args:    atMostOne("a powder"),
	}, func(c *cobra.Command, args []string) (*work.BookStock, error) {
		powder := ""
		if len(args) == 1 {
			powder = args[0]
		}
		return k.book.Stock(c.Context(), powder)
	}, (*screen).bookStock)
}

func (s *screen) bookStock(v *work.BookStock) {
	if len(v.Lots) == 0 {
		s.line("No lots in the book; 'tawny book add lot' adds one.")
		return
	}
	s.line("%-22s %-12s %9s %9s %9s", "powder", "lot", "bought g", "used g", "left g")
	for _, l := range v.Lots {
		end := ""
		if l.OtherG != 0 {
			end += fmt.Sprintf("   %+.4g g counted, spilt or given", l.OtherG)
		}
		switch {
		case l.LeftG < 0:
			end += "   less than nothing: something was not written down"
		case l.Expired:
			end += "   past its day, " + l.ExpiresOn
		case l.ExpiresOn != "":
			end += "   good until " + l.ExpiresOn
		}
		s.line("%-22s %-12s %9.2f %9.2f %9.2f%s", l.PowderName, l.Lot, l.BoughtG, l.UsedG, l.LeftG, end)
	}
	if len(v.Totals) == len(v.Lots) {
		return
	}
	s.line("")
	for _, t := range v.Totals {
		s.line("%-22s %.2f g left in %s", t.Name, t.LeftG, plural(t.Lots, "lot"))
	}
}

func (k *bookCommand) newCount() *cobra.Command {
	var powder, note string
	c := command(&cobra.Command{
		Use:   "count LOT GRAMS",
		Short: "Write down what the balance shows is left of a lot",
		Long: `Writes the grams left of a lot as counted. The difference from what the book
thought is kept as a movement of its own, so that nothing before is changed.`,
		Example: "  tawny book count G-0117 43.2\n  tawny book count G-0117 0 --note 'the tin fell'",
		Args:    two("a lot and the grams left"),
	}, func(c *cobra.Command, args []string) (*work.BookCounted, error) {
		left, err := strconv.ParseFloat(args[1], 64)
		if err != nil {
			return nil, usageError{fmt.Errorf("%q is no weight; the grams left are accepted, such as 43.2", args[1])}
		}
		return k.book.Count(c.Context(), args[0], powder, left, note)
	}, func(s *screen, v *work.BookCounted) {
		words := "as the book thought"
		if v.DifferenceG > 0 {
			words = fmt.Sprintf("%.4g g more than the book thought", v.DifferenceG)
		} else if v.DifferenceG < 0 {
			words = fmt.Sprintf("%.4g g less than the book thought", -v.DifferenceG)
		}
		s.line("%s, lot %s: %.6g g left, %s.", v.Lot.PowderName, v.Lot.Lot, v.Lot.LeftG, words)
	})
	c.Flags().StringVar(&powder, "powder", "", "the lot's powder, where two powders have the number")
	bindNote(c.Flags(), &note)
	return c
}

func (k *bookCommand) newMove() *cobra.Command {
	var powder string
	m := book.Movement{}
	c := command(&cobra.Command{
		Use:   "move LOT GRAMS",
		Short: "Write down grams of a lot spilt, given away, returned or bought again",
		Long: `Writes grams of a lot that came or went other than by being weighed into a batch.
--why says which: spilt, given and returned take them off, bought adds them.`,
		Example: "  tawny book move G-0117 2.5 --why spilt --note 'on the floor'\n  tawny book move G-0117 50 --why bought",
		Args:    two("a lot and grams"),
	}, func(c *cobra.Command, args []string) (v *work.Moved, err error) {
		if m.Grams, err = strconv.ParseFloat(args[1], 64); err != nil {
			return nil, usageError{fmt.Errorf("%q is no weight; grams above 0 are accepted, such as 2.5", args[1])}
		}
		switch m.Kind {
		case "spilt", "given", "returned", "bought":
		default:
			return nil, usageError{fmt.Errorf("--why is %q; spilt, given, returned or bought is accepted", m.Kind)}
		}
		return k.book.Move(c.Context(), args[0], powder, m)
	}, func(s *screen, v *work.Moved) {
		s.line("%s, lot %s: %.6g g left.", v.Lot.PowderName, v.Lot.Lot, v.Lot.LeftG)
	})
	fs := c.Flags()
	fs.StringVar(&m.Kind, "why", "", "spilt, given, returned or bought")
	fs.StringVar(&m.MovedOn, "on", "", "the day (default today)")
	fs.StringVar(&powder, "powder", "", "the lot's powder, where two powders have the number")
	bindNote(fs, &m.Note)
	return c
}

func (k *bookCommand) newUses() *cobra.Command {
	return command(&cobra.Command{
		Use:   "uses LOT",
		Short: "Find what a lot went into, for a recall",
		Long: `Finds every batch, correction and planned blend that a lot went into, powders and
ingredients of the base alike, and whom each was made for. Recall what was sold or
given away by your local rules.`,
		Example: "  tawny book uses G-0117\n  tawny book uses LOT-7 --json",
		Args:    oneName("the number on the bag"),
	}, func(c *cobra.Command, args []string) (*work.LotUses, error) {
		return k.book.Uses(c.Context(), args[0])
	}, (*screen).uses)
}

func (s *screen) uses(v *work.LotUses) {
	for _, b := range v.Bags {
		from := ""
		if b.Supplier != "" {
			from = ", from " + b.Supplier
		}
		s.line("Lot %s is %s%s: %.2f g bought, %.2f g left.", b.Lot, b.PowderName, from, b.BoughtG, b.LeftG)
	}
	if len(v.Uses) == 0 {
		s.line("Nothing in the book was made of it.")
		return
	}
	s.line("")
	for _, u := range v.Uses {
		whom := ""
		if u.Client != "" {
			whom = ", for " + u.Client
		}
		s.line("  %s%s", useWords(u), whom)
	}
	if len(v.Clients) > 0 {
		s.line("")
		s.fold("", "Made for "+joinWords(v.Clients)+".")
	}
}
