package main

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"tawny/cmd/tawny/work"
	"tawny/swatches"
)

func newCard() *cobra.Command {
	f := &sharedFlags{}
	var parts []string
	var title string
	c := &cobra.Command{
		Use:   "card",
		Short: "Draw the swatch card of a blend on a skin",
		Long: `Draws a card (card.png in --out, default the current folder): bare skin beside
the blend rubbed in sheer, smoothed on and laid on full, its numbers, powders
and grams. The blend is given with --part, or matched first.`,
		Example: "  tawny card --skin tan --part 'pale gold=2' --part bronze=1 --grams 200 --out cards\n  tawny card --demo --out demo",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			dir := f.out
			if dir == "" {
				dir = "."
			}
			if err := work.OpenOut(dir); err != nil {
				return err
			}
			r, card, err := f.worked(c, in, parts, title)
			if err != nil {
				return err
			}
			path := filepath.Join(dir, "card.png")
			if err := swatches.WritePNG(path, card, swatches.Paper{}); err != nil {
				return err
			}
			return f.answer(c, r, func(s *screen) { s.line("Wrote %s", path) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	c.Flags().StringArrayVar(&parts, "part", nil, "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable")
	c.Flags().StringVar(&title, "title", "", "name of the blend")
	return c
}

// worked returns the stated blend, or the best match where none is stated,
// with its card.
func (f *sharedFlags) worked(c *cobra.Command, in work.Input, parts []string, title string) (any, *swatches.Card, error) {
	if len(parts) > 0 {
		r, err := work.Blend(work.BlendInput{Input: in, Parts: parts, Title: title})
		if err != nil {
			return nil, nil, err
		}
		card, err := r.Card()
		return r, card, err
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
	card, err := m.Card(1)
	return m, card, err
}
