package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
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
	p.bindPaper(fs)
	fs.BoolVar(&p.flat, "flat", false, "flat colours instead of shimmer under a lamp")
}

// bindPaper binds what any picture has.
func (p *pictureFlags) bindPaper(fs *pflag.FlagSet) {
	fs.StringVar(&p.format, "format", "png", "png or pdf")
	fs.BoolVar(&p.wide, "wide", false, "six inches wide and four high, instead of upright")
	fs.Float64Var(&p.dpi, "dpi", 200, "dots per inch of a PNG, 72 to 600")
	fs.Uint64Var(&p.seed, "seed", 1, "seed of the flakes' places")
}

func (p *pictureFlags) check(c *cobra.Command) error {
	switch {
	case p.format != "png" && p.format != "pdf":
		return usagef("--format is %q; png or pdf is accepted", p.format)
	case !(p.dpi >= 72 && p.dpi <= 600):
		return usagef("--dpi is %g; 72 to 600 is accepted", p.dpi)
	case len(p.parts) > 0 && c.Flags().Changed("rank"):
		return usagef("--rank chooses among matched blends and --part states one; one of the two is accepted")
	}
	return nil
}

func usagef(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

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

// write draws pages into dir/name.png, name-2.png and so on, or all into one
// name.pdf, and returns the paths. Every page is drawn before the first is
// written.
func (p *pictureFlags) write(dir, name string, paper swatches.Paper, pages ...swatches.Drawing) ([]string, error) {
	for _, d := range pages {
		if err := d.Check(); err != nil {
			return nil, usageError{err}
		}
	}
	var paths []string
	var files []work.OutFile
	add := func(path string, data []byte) {
		paths = append(paths, path)
		files = append(files, work.OutFile{Path: path, Write: func(w io.Writer) error { _, err := w.Write(data); return err }})
	}
	if p.format == "pdf" {
		title := orName(p.title, orName(swatches.TitleOf(pages[0]), name))
		data, err := swatches.PDF(paper, title, time.Now(), pages...)
		if err != nil {
			return nil, err
		}
		add(filepath.Join(dir, name+".pdf"), data)
		pages = nil
	}
	for i, d := range pages {
		data, err := swatches.PNG(d, paper)
		if err != nil {
			return nil, err
		}
		page := name
		if i > 0 {
			page = fmt.Sprintf("%s-%d", name, i+1)
		}
		add(filepath.Join(dir, page+".png"), data)
	}
	if err := work.MakeOut(dir); err != nil {
		return nil, err
	}
	return paths, work.WriteFiles(files...)
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
skins (--on, once for each). A board with more on it than fits is drawn longer.
--tile a4 or letter lays a card of each of the best --keep blends out with cut
marks, four to a page: pages of one PDF, or cards.png, cards-2.png and so on.`,
		Example: "  tawny card --skin tan --part 'pale gold=2' --part bronze=1 --grams 200 --out cards\n  tawny card --demo --kind skins --on light --on tan --on dark --out demo\n  tawny card --demo --tile a4 --format pdf --out demo",
		Args:    noArgs,
		RunE: func(c *cobra.Command, args []string) error {
			in, err := f.input(c)
			if err != nil {
				return err
			}
			q := &cardRequest{p, kind, tile, loads, skins}
			if err := q.check(c); err != nil {
				return err
			}
			dir := orName(f.out, ".")
			if err := work.OpenOut(dir); err != nil {
				return err
			}
			d, err := q.draw(c.Context(), in)
			if err != nil {
				return err
			}
			paths, err := p.write(dir, d.name, d.paper, d.pages...)
			if err != nil {
				return err
			}
			return f.answer(c, d.data, func(s *screen) { s.line("Wrote %s", strings.Join(paths, ", ")) })
		},
	}
	f.bindSkin(c.Flags())
	f.bindWorn(c.Flags())
	f.bindMatch(c.Flags())
	p.bind(c.Flags())
	c.Flags().StringVar(&kind, "kind", kind, "card, "+strings.Join(work.BoardKinds, ", "))
	c.Flags().StringVar(&tile, "tile", "", "several cards to a page with cut marks: a4 or letter")
	c.Flags().Float64SliceVar(&loads, "loads", nil, "for --kind loads: the loads in per cent, such as 1,2,4")
	c.Flags().StringArrayVar(&skins, "on", nil, "for --kind skins: a skin; repeatable")
	return c
}

// cardRequest is what a card command asks for.
type cardRequest struct {
	*pictureFlags
	kind, tile string
	loads      []float64
	skins      []string
}

// drawnCard is a card, or what stands for it, ready to be written.
type drawnCard struct {
	pages []swatches.Drawing
	name  string // of the file
	paper swatches.Paper
	data  any // printed as JSON
}

// check refuses flags that would be left unused.
func (q *cardRequest) check(c *cobra.Command) error {
	if err := q.pictureFlags.check(c); err != nil {
		return err
	}
	set := c.Flags().Changed
	_, _, err := q.sheet()
	switch {
	case err != nil:
		return err
	case q.tile != "" && q.kind != "card":
		return usagef("--tile lays out cards and --kind is %s; one of the two is accepted", q.kind)
	case q.tile != "" && q.wide:
		return usagef("--tile lays out upright cards; leave --wide away")
	case q.tile != "" && len(q.parts) > 0:
		return usagef("--tile lays out matched blends; leave --part away")
	case q.tile != "" && set("rank"):
		return usagef("--tile lays out every blend kept; leave --rank away")
	case q.kind == "skins" && set("rank"):
		return usagef("--kind skins draws the best blend for each skin; leave --rank away")
	case q.kind != "skins" && len(q.skins) > 0:
		return usagef("--on is for --kind skins; --kind is %s", q.kind)
	case q.kind != "loads" && set("loads"):
		return usagef("--loads is for --kind loads; --kind is %s", q.kind)
	case q.kind == "card" || slices.Contains(work.BoardKinds, q.kind):
		return nil
	}
	return usagef("--kind is %q; card, %s is accepted", q.kind, strings.Join(work.BoardKinds, ", "))
}

// sheet is the paper that cards are tiled on; ok is false where they are not.
func (q *cardRequest) sheet() (paper swatches.Paper, ok bool, err error) {
	switch strings.ToLower(q.tile) {
	case "":
		return paper, false, nil
	case "a4":
		paper = swatches.A4
	case "letter":
		paper = swatches.Letter
	default:
		return paper, false, usagef("--tile is %q; a4 or letter is accepted", q.tile)
	}
	paper.DPI = q.dpi
	return paper, true, nil
}

func (q *cardRequest) draw(ctx context.Context, in work.Input) (*drawnCard, error) {
	o := q.options()
	if q.kind == "skins" {
		b, told, err := work.SkinsBoard(ctx, work.BlendInput{Input: in, Parts: q.parts, Title: q.title}, q.skins, o)
		if err != nil {
			return nil, err
		}
		return q.board(b, map[string]any{"kind": q.kind, "skins": told}), nil
	}
	subject, r, err := q.subject(ctx, in)
	if err != nil {
		return nil, err
	}
	if q.kind != "card" {
		b, err := subject.Board(q.kind, q.loads, o)
		if err != nil {
			return nil, err
		}
		return q.board(b, r), nil
	}
	if q.tile != "" {
		return q.tiled(r.(*work.MatchResult), o)
	}
	card, err := subject.Card(o)
	return &drawnCard{[]swatches.Drawing{card}, "card", q.paper(), r}, err
}

func (q *cardRequest) board(b *swatches.Board, data any) *drawnCard {
	return &drawnCard{[]swatches.Drawing{b}, q.kind, b.Paper(q.paper()), data}
}

// tiled deals the matched blends' cards out over sheets.
func (q *cardRequest) tiled(m *work.MatchResult, o work.CardOptions) (*drawnCard, error) {
	paper, _, err := q.sheet()
	if err != nil {
		return nil, err
	}
	var cards []swatches.Drawing
	for rank := range m.Blends {
		card, err := m.Card(rank+1, o)
		if err != nil {
			return nil, err
		}
		card.Title = fmt.Sprintf("%s, no. %d", card.Title, rank+1)
		cards = append(cards, card)
	}
	sheets, err := swatches.Sheets(paper, 0, cards...)
	if err != nil {
		return nil, err
	}
	d := &drawnCard{name: "cards", paper: paper, data: m}
	for _, s := range sheets {
		d.pages = append(d.pages, s)
	}
	return d, nil
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
			if err := p.check(c); err != nil {
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
			paths, err := p.write(dir, "chart-"+kind, paper, d)
			if err != nil {
				return err
			}
			return f.answer(c, r, func(s *screen) { s.line("Wrote %s", paths[0]) })
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
