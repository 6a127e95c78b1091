package main

import (
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"tawny/blend/batch"
	"tawny/cmd/tawny/work"
)

func newBatch() *cobra.Command {
	f := &sharedFlags{}
	var parts []string
	var title string
	c := &cobra.Command{
		Use:   "batch",
		Short: "Write the batch sheet of a blend, to weigh and make it from",
		Long: `Scales a blend into a base: every weight a whole number of the balance's steps
and their sum exactly the batch, the steps in working order, the cautions where
they belong. The blend is given with --part, or matched first. With --out the
sheet goes to sheet.txt there, else to the screen.`,
		Example: "  tawny batch --skin tan --part 'pale gold=2' --part bronze=1 --grams 500 --balance 0.1\n  tawny batch --demo --containers 8 --ml 30",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if in.Containers > 0 {
				in.Grams = 0
			}
			if err := work.OpenOut(f.out); err != nil {
				return err
			}
			b, err := f.scaled(c, in, parts, title)
			if err != nil {
				return err
			}
			if f.out == "" {
				if f.json {
					return work.WriteJSON(c.OutOrStdout(), b)
				}
				return batch.Text(c.OutOrStdout(), b)
			}
			path := filepath.Join(f.out, "sheet.txt")
			if err := work.WriteFile(path, func(w io.Writer) error { return batch.Text(w, b) }); err != nil {
				return err
			}
			return f.answer(c, b, func(s *screen) { s.line("Wrote %s", path) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	c.Flags().StringArrayVar(&parts, "part", nil, "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable")
	c.Flags().StringVar(&title, "title", "", "name of the blend")
	return c
}

// scaled returns the batch of the stated blend, or of the best match.
func (f *sharedFlags) scaled(c *cobra.Command, in work.Input, parts []string, title string) (*batch.Batch, error) {
	if len(parts) > 0 {
		r, err := work.Blend(work.BlendInput{Input: in, Parts: parts, Title: title})
		if err != nil {
			return nil, err
		}
		return r.Batch()
	}
	report, stop := progress()
	m, err := work.Match(c.Context(), in, report)
	stop()
	if err != nil {
		return nil, err
	}
	if title != "" {
		m.Title = title
	}
	return m.Batch(1)
}
