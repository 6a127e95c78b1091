package main

import (
	"errors"
	"io"
	"path/filepath"
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
	"tawny/swatches"
)

func newBatch() *cobra.Command {
	f := &sharedFlags{}
	var parts []string
	var title, format string
	var letter bool
	c := &cobra.Command{
		Use:   "batch",
		Short: "Write the batch sheet of a blend, to weigh and make it from",
		Long: `Scales a blend into a base: every weight a whole number of the balance's steps
and their sum exactly the batch, the steps in working order, the cautions where
they belong, label text and a stability log. The blend is given with --part, or
matched first; with --part the skin may be left out. With --out the sheet goes
to a file there, else to the screen. A sheet with a STOP on it is still written,
for you to read why.

A price list is a CSV file: a line "# currency: EUR", the header ` + batch.PricesHeader + `, then
rows: an ingredient or powder per g, kg, ml or l; container, closure, label or
overhead per each; labour per hour.`,
		Example: "  tawny batch --skin tan --part 'pale gold=2' --part bronze=1 --grams 500 --balance 0.1\n  tawny batch --demo --containers 8 --ml 30 --format pdf --out bench",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			file, err := work.SheetFile(format)
			if err != nil {
				return err
			}
			if format == "pdf" && f.out == "" {
				return usageError{errPDFNeedsOut}
			}
			if err := work.OpenOut(f.out); err != nil {
				return err
			}
			b, card, err := f.scaled(c, in, parts, title)
			if err != nil {
				return err
			}
			write := func(w io.Writer) error { return work.WriteSheet(w, b, format, card, letter) }
			if f.out == "" {
				if f.json {
					return work.WriteJSON(c.OutOrStdout(), b)
				}
				return write(c.OutOrStdout())
			}
			if err := work.MakeOut(f.out); err != nil {
				return err
			}
			path := filepath.Join(f.out, file)
			if err := work.WriteFile(path, write); err != nil {
				return err
			}
			return f.answer(c, b, func(s *screen) { s.line("Wrote %s", path) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	f.bindBench(c.Flags())
	c.Flags().StringArrayVar(&parts, "part", nil, "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable")
	c.Flags().StringVar(&title, "title", "", "name of the blend")
	c.Flags().StringVar(&format, "format", "text", "text, markdown, html or pdf")
	c.Flags().BoolVar(&letter, "letter", false, "US Letter paper for a PDF, instead of A4")
	return c
}

// bindBench binds what only the batch sheet needs.
func (f *sharedFlags) bindBench(fs *pflag.FlagSet) {
	k := &f.in.Bench
	fs.StringVar(&k.Code, "code", "", "batch code (default a line to write it on)")
	fs.StringVar(&k.Filler, "filler", "", "ingredient that gives way to the powders (default the base's own)")
	fs.StringVar(&k.Closure, "closure", "", "closure of the containers (default the usual)")
	percent := func(to **float64) func(string) error { // 0 is a wish of its own, not the default
		return func(s string) error {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				return errors.New("a number is accepted")
			}
			*to = &v
			return nil
		}
	}
	fs.Func("overfill", "given over the nominal content, `percent` of it (default 1)", percent(&k.Overfill))
	fs.Func("loss", "left on pans and tools, `percent` of the batch (default 4)", percent(&k.Loss))
	fs.StringVar(&k.Prices, "prices", "", "price list, a CSV file; adds the cost")
	fs.Float64Var(&k.Margin, "margin", 0, "margin, per cent of the selling price")
	fs.Float64Var(&k.Labour, "labour-hours", 0, "hours of work")
	bindScent(fs, k)
}

func bindScent(fs *pflag.FlagSet, k *work.Bench) {
	fs.StringVar(&k.Scent, "scent", "", "scent and its share: 'bergamot=0.3' (% w/w of the product)")
	fs.Float64Var(&k.ScentLimit, "scent-limit", 0, "most its own certificate allows, per cent")
	fs.StringArrayVar(&k.Allergens, "allergen", nil, "an allergen of the scent: 'Linalool=12' (% of the scent); repeatable")
	fs.Float64Var(&k.NozzleUM, "nozzle-um", 0, "smallest passage of a mist's nozzle, µm")
}

// scaled returns the batch of the stated blend, or of the best match, with its
// card.
func (f *sharedFlags) scaled(c *cobra.Command, in work.Input, parts []string, title string) (*batch.Batch, *swatches.Card, error) {
	if len(parts) > 0 {
		r, err := work.Blend(work.BlendInput{Input: in, Parts: parts, Title: title, WeighOnly: true})
		if err != nil {
			return nil, nil, err
		}
		b, err := r.Batch()
		if err != nil || in.Skin == "" {
			return b, nil, err
		}
		card, err := r.Card(work.CardOptions{})
		return b, card, err
	}
	report, stop := progress()
	m, err := work.Match(c.Context(), in, report)
	stop()
	if err != nil {
		return nil, nil, err
	}
	if title != "" {
		m.Title = title
	}
	b, err := m.Batch(1)
	if err != nil {
		return nil, nil, err
	}
	card, err := m.Card(1, work.CardOptions{})
	return b, card, err
}
