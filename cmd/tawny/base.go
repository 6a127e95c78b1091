package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
)

func newBase() *cobra.Command {
	c := &cobra.Command{
		Use:   "base",
		Short: "List, show and check the bases powders go into",
		Long: `A base is a lotion, cream, oil or mist without its powders: built in, or a CSV
file of your own. 'base check' explains every fault; 'base show NAME --csv' writes
a base as such a file, to start your own from.

The columns of a base file, its first line after the keys:

  ` + strings.Join(batch.BaseHeader, ",") + `

percent is % w/w of the base (empty where it is bought ready made, its rows then
in label order); add_below_c is the temperature in °C an ingredient goes in below;
usual_low and usual_high are its supplier's range, in per cent of usual_of, which
is product or oil; all from add_below_c on may be empty. An inci of several
substances is name=percent joined by ;. Roles are joined by ; and are some of

  ` + wrapped(spelt(batch.Roles), 76, "  ") + `

Before them stand the keys, one to a line, such as '# kind: lotion'. base, kind,
density_g_ml and consistency are needed, others as the kind asks:

  ` + wrapped(strings.Split(batch.BaseKeys, ", "), 76, "  ") + `

kind is ` + strings.Join(spelt(batch.Kinds), ", ") + `; consistency is ` + strings.Join(spelt(batch.Consistencies), ", ") + `.`,
		Example: "  tawny base list\n  tawny base show 'Everyday lotion'\n  tawny base check mine.csv --part 'ultramarine blue=0.3'",
		Args:    cobra.ArbitraryArgs,
		RunE:    unknownCommand,
	}
	c.AddCommand(newBaseList(), newBaseShow(), newBaseCheck())
	return c
}

func newBaseList() *cobra.Command {
	f := &sharedFlags{}
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the built-in bases",
		Long:    "Lists the built-in bases, lotions first, then oils, mists and ready-made ones.",
		Example: "  tawny base list\n  tawny base list --json",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			list, err := work.Bases()
			if err != nil {
				return err
			}
			return f.answer(c, list, func(s *screen) {
				var bases []batch.Base
				for _, b := range list {
					bases = append(bases, b.Base)
				}
				s.with(func(w io.Writer) error { return batch.BasesText(w, bases) })
			})
		},
	}
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

func newBaseShow() *cobra.Command {
	f := &sharedFlags{}
	var csv bool
	c := &cobra.Command{
		Use:     "show NAME",
		Short:   "Show a base: its phases and ingredients",
		Long:    "Shows a base, built in or from a CSV file, phase by phase, or with --csv as the\nfile it is read from.",
		Example: "  tawny base show 'Velvet glow oil'\n  tawny base show 'Everyday lotion' --csv > mine.csv",
		Args:    oneArg,
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.Base(args[0], work.BlendInput{})
			if err != nil {
				return err
			}
			if csv {
				if f.json {
					return usageError{errors.New("--csv and --json are both given; one is accepted")}
				}
				return batch.WriteBase(c.OutOrStdout(), v.Base)
			}
			return f.answer(c, v, func(s *screen) {
				s.with(func(w io.Writer) error { return batch.BaseText(w, v.Base) })
				s.line("")
				s.with(func(w io.Writer) error { return batch.FindingsText(w, v.Findings) })
			})
		},
	}
	c.Flags().BoolVar(&csv, "csv", false, "print the base as a CSV file, to start your own from")
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

func newBaseCheck() *cobra.Command {
	f := &sharedFlags{}
	var parts []string
	c := &cobra.Command{
		Use:   "check NAME",
		Short: "Explain every fault of a base, alone or with its powders",
		Long: `Checks a base against the quoted rules and common practice: its sum, its
preservative and pH, emulsifier and antioxidant, and with --part, --area and
--scent whether it suits the powders, the place it is worn and the scent.
It exits with 2 where there is a stop or a fault: something to mend before the
base is made.`,
		Example: "  tawny base check 'Everyday lotion'\n  tawny base check mine.csv --part 'ultramarine blue=0.3' --area lips",
		Args:    oneArg,
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.Base(args[0], work.BlendInput{Input: f.in, Parts: parts})
			if err != nil {
				return err
			}
			if err := f.answer(c, v, func(s *screen) {
				s.with(func(w io.Writer) error { return batch.FindingsText(w, v.Findings) })
			}); err != nil {
				return err
			}
			return toMend(v)
		},
	}
	fs := c.Flags()
	fs.StringVar(&f.in.Drawer, "drawer", "", "your drawer, a CSV file (default the built-in one)")
	fs.StringArrayVar(&parts, "part", nil, "a powder it is to carry: 'pale gold=2' (% w/w of the product); repeatable")
	fs.StringVar(&f.in.Area, "area", "body", "where it is worn: body, eyes or lips")
	bindScent(fs, &f.in.Bench)
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
}

// spelt are the words of a list.
func spelt[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// wrapped joins words with commas to lines of at most width columns.
func wrapped(words []string, width int, indent string) string {
	var out strings.Builder
	column := 0
	for i, w := range words {
		if i < len(words)-1 {
			w += ","
		}
		switch {
		case column == 0:
		case column+1+len(w) > width:
			out.WriteString("\n" + indent)
			column = 0
		default:
			w = " " + w
		}
		out.WriteString(w)
		column += len(w)
	}
	return out.String()
}

// toMend is the error of a base with stops or faults.
func toMend(v *work.BaseView) error {
	var parts []string
	stops, faults := v.ToMend()
	if stops > 0 {
		parts = append(parts, plural(stops, string(batch.Stop)))
	}
	if faults > 0 {
		parts = append(parts, plural(faults, string(batch.Fault)))
	}
	if len(parts) == 0 {
		return nil
	}
	return usageError{fmt.Errorf("%s: %s to mend first", v.Name, strings.Join(parts, " and "))}
}

func oneArg(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usageError{fmt.Errorf("one name or file is wanted, got %d; see %s --help", len(args), c.CommandPath())}
	}
	return nil
}

// with lets another package write to the screen, keeping the first error.
func (s *screen) with(write func(io.Writer) error) {
	if s.err == nil {
		s.err = write(s.w)
	}
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
