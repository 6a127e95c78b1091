package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tawny/cmd/tawny/work"
	"tawny/swatches"
)

// pictureFlags say how a picture is drawn and where it goes.
type pictureFlags struct {
	parts  []string
	title  string
	rank   int
	format string
	wide   bool
	dpi    float64
	flat   bool
	seed   uint64
}

func (p *pictureFlags) bind(fs *pflag.FlagSet) {
	fs.StringArrayVar(&p.parts, "part", nil, "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable")
	fs.StringVar(&p.title, "title", "", "name of the blend")
	fs.IntVar(&p.rank, "rank", 1, "which of the matched blends, where none is given with --part")
	fs.StringVar(&p.format, "format", "png", "png or pdf")
	fs.BoolVar(&p.wide, "wide", false, "six inches wide and four high, instead of upright")
	fs.Float64Var(&p.dpi, "dpi", 200, "dots per inch of a PNG, 72 to 600")
	fs.BoolVar(&p.flat, "flat", false, "flat colours instead of shimmer under a lamp")
	fs.Uint64Var(&p.seed, "seed", 1, "seed of the flakes' places")
}

func (p *pictureFlags) check() error {
	switch {
	case p.format != "png" && p.format != "pdf":
		return usageError{fmt.Errorf("--format is %q; png or pdf is accepted", p.format)}
	case !(p.dpi >= 72 && p.dpi <= 600):
		return usageError{fmt.Errorf("--dpi is %g; 72 to 600 is accepted", p.dpi)}
	}
	return nil
}

func (p *pictureFlags) options() work.CardOptions {
	return work.CardOptions{Shimmer: !p.flat, Seed: p.seed, Jars: true}
}

func (p *pictureFlags) paper() swatches.Paper {
	paper := swatches.Upright
	if p.wide {
		paper = swatches.Wide
	}
	paper.DPI = p.dpi
	return paper
}

// write draws into dir/name.png or .pdf and returns the path.
func (p *pictureFlags) write(dir, name string, d swatches.Drawing, paper swatches.Paper) (string, error) {
	path := filepath.Join(dir, name+"."+p.format)
	if p.format == "pdf" {
		return path, swatches.WritePDF(path, paper, orName(p.title, name), time.Now(), d)
	}
	return path, swatches.WritePNG(path, d, paper)
}

func orName(title, name string) string {
	if title != "" {
		return title
	}
	return name
}

// drawn is a blend that can be pictured: stated, or matched.
type drawn interface {
	Card(o work.CardOptions) (*swatches.Card, error)
	Board(kind string, loads []float64, o work.CardOptions) (*swatches.Board, error)
	Chart(kind string) (swatches.Drawing, error)
}

// ranked is one blend of a match.
type ranked struct {
	m    *work.MatchResult
	rank int
}

func (r ranked) Card(o work.CardOptions) (*swatches.Card, error) { return r.m.Card(r.rank, o) }
func (r ranked) Board(kind string, loads []float64, o work.CardOptions) (*swatches.Board, error) {
	return r.m.Board(r.rank, kind, loads, o)
}
func (r ranked) Chart(kind string) (swatches.Drawing, error) { return r.m.Chart(r.rank, kind) }

// subject returns the blend to draw and the result to print as JSON.
func (p *pictureFlags) subject(ctx context.Context, in work.Input) (drawn, any, error) {
	if len(p.parts) > 0 {
		r, err := work.Blend(work.BlendInput{Input: in, Parts: p.parts, Title: p.title})
		return r, r, err
	}
	report, stop := progress()
	m, err := work.Match(ctx, in, report)
	stop()
	if err != nil {
		return nil, nil, err
	}
	if p.title != "" {
		m.Title = p.title
	}
	return ranked{m, p.rank}, m, nil
}

func newCard() *cobra.Command {
	f := &sharedFlags{}
	p := &pictureFlags{}
	kind, tile := "card", ""
	var loads []float64
	var skins []string
	c := &cobra.Command{
		Use:   "card",
		Short: "Draw swatch cards of a blend on skin",
		Long: `Draws a card into --out (default the current folder): bare skin beside the
blend rubbed in sheer, smoothed on and laid on full, its numbers, powders and
grams. The blend is given with --part, or matched first.

Kinds: card, or a board of loads, coverages, lights (daylight and stage) or
skins (--on, once for each). --tile a4 or letter puts a card of each of the best
--keep blends on one page with cut marks.`,
		Example: "  tawny card --skin tan --part 'pale gold=2' --part bronze=1 --grams 200 --out cards\n  tawny card --demo --kind skins --on light --on tan --on dark --out demo\n  tawny card --demo --tile a4 --format pdf --out demo",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if err := p.check(); err != nil {
				return err
			}
			dir := orName(f.out, ".")
			if err := work.OpenOut(dir); err != nil {
				return err
			}
			d, name, paper, r, err := drawCard(c.Context(), in, p, kind, tile, loads, skins)
			if err != nil {
				return err
			}
			path, err := p.write(dir, name, d, paper)
			if err != nil {
				return err
			}
			return f.answer(c, r, func(s *screen) { s.line("Wrote %s", path) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	p.bind(c.Flags())
	c.Flags().StringVar(&kind, "kind", kind, "card, "+strings.Join(work.BoardKinds, ", "))
	c.Flags().StringVar(&tile, "tile", "", "several cards on one page with cut marks: a4 or letter")
	c.Flags().Float64SliceVar(&loads, "loads", nil, "for --kind loads: the loads in per cent, such as 1,2,4")
	c.Flags().StringArrayVar(&skins, "on", nil, "for --kind skins: a skin; repeatable")
	return c
}

// drawCard makes the drawing asked for, its file name and paper, and what to
// print as JSON.
func drawCard(ctx context.Context, in work.Input, p *pictureFlags, kind, tile string, loads []float64, skins []string) (swatches.Drawing, string, swatches.Paper, any, error) {
	o, paper := p.options(), p.paper()
	if kind == "skins" {
		b, err := work.SkinsBoard(ctx, work.BlendInput{Input: in, Parts: p.parts, Title: p.title}, skins, o)
		return b, "skins", paper, map[string]any{"kind": kind, "skins": skins}, err
	}
	subject, r, err := p.subject(ctx, in)
	if err != nil {
		return nil, "", paper, nil, err
	}
	if kind != "card" {
		b, err := subject.Board(kind, loads, o)
		return b, kind, paper, r, err
	}
	if tile == "" {
		card, err := subject.Card(o)
		return card, "card", paper, r, err
	}
	m, ok := r.(*work.MatchResult)
	if !ok {
		return nil, "", paper, nil, usageError{fmt.Errorf("--tile lays out matched blends; leave --part away")}
	}
	switch strings.ToLower(tile) {
	case "a4":
		paper = swatches.A4
	case "letter":
		paper = swatches.Letter
	default:
		return nil, "", paper, nil, usageError{fmt.Errorf("--tile is %q; a4 or letter is accepted", tile)}
	}
	paper.DPI = p.dpi
	var cards []swatches.Drawing
	for rank := range m.Blends {
		card, err := m.Card(rank+1, o)
		if err != nil {
			return nil, "", paper, nil, err
		}
		card.Title = fmt.Sprintf("%s, no. %d", card.Title, rank+1)
		cards = append(cards, card)
	}
	sheets, err := swatches.Sheets(paper, 0, cards...)
	if err != nil {
		return nil, "", paper, nil, err
	}
	return sheets[0], "cards", paper, r, nil
}

func newChart() *cobra.Command {
	f := &sharedFlags{}
	p := &pictureFlags{}
	kind := "reflectance"
	c := &cobra.Command{
		Use:   "chart",
		Short: "Draw a blend as a chart",
		Long: `Draws a chart into --out (default the current folder): reflectance of skin and
film against wavelength; plane, where skin, target and blend stand on the a*b*
plane with what pairs from the drawer reach; or load, the colour against the
load. The blend is given with --part, or matched first.`,
		Example: "  tawny chart --demo --kind plane --out demo\n  tawny chart --skin tan --part 'pale gold=2' --kind load --format pdf",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			if err := p.check(); err != nil {
				return err
			}
			dir := orName(f.out, ".")
			if err := work.OpenOut(dir); err != nil {
				return err
			}
			subject, r, err := p.subject(c.Context(), in)
			if err != nil {
				return err
			}
			d, err := subject.Chart(kind)
			if err != nil {
				return err
			}
			paper := swatches.Wide
			paper.DPI = p.dpi
			path, err := p.write(dir, "chart-"+kind, d, paper)
			if err != nil {
				return err
			}
			return f.answer(c, r, func(s *screen) { s.line("Wrote %s", path) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	p.bind(c.Flags())
	for _, name := range []string{"wide", "flat", "seed"} {
		_ = c.Flags().MarkHidden(name)
	}
	c.Flags().StringVar(&kind, "kind", kind, strings.Join(work.ChartKinds, ", "))
	return c
}
