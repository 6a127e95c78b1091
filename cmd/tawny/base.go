package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
)

func newBase() *cobra.Command {
	c := &cobra.Command{
		Use:   "base",
		Short: "List, show and check the bases powders go into",
		Long: `A base is a lotion, cream, oil or mist without its powders: built in, or a CSV
file of your own (README tells its columns). 'base check' explains every fault.`,
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
	c := &cobra.Command{
		Use:     "show NAME",
		Short:   "Show a base: its phases and ingredients",
		Long:    "Shows a base, built in or from a CSV file, phase by phase.",
		Example: "  tawny base show 'Velvet glow oil'\n  tawny base show mine.csv --json",
		Args:    oneArg,
		RunE: func(c *cobra.Command, args []string) error {
			v, err := work.Base(args[0], work.BlendInput{})
			if err != nil {
				return err
			}
			return f.answer(c, v, func(s *screen) {
				s.with(func(w io.Writer) error { return batch.BaseText(w, v.Base) })
				s.line("")
				s.with(func(w io.Writer) error { return batch.FindingsText(w, v.Findings) })
			})
		},
	}
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
It exits with 2 where something must be mended before the base is made.`,
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
			if n := v.Faults(); n > 0 {
				return usageError{fmt.Errorf("%s: %s to mend first", v.Name, plural(n, "fault"))}
			}
			return nil
		},
	}
	fs := c.Flags()
	fs.StringVar(&f.in.Palette, "palette", "", "your drawer, a CSV file (default the built-in one)")
	fs.StringArrayVar(&parts, "part", nil, "a powder it is to carry: 'pale gold=2' (% w/w of the product); repeatable")
	fs.StringVar(&f.in.Area, "area", "body", "where it is worn: body, eyes or lips")
	bindScent(fs, &f.in.Bench)
	fs.BoolVar(&f.json, "json", false, "print the result as JSON at full precision")
	return c
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
