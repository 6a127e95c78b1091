package job

import (
	"context"
	"encoding/json"

	"tawny/swatches"
)

// picture says of which blend a picture is and how it is drawn.
type picture struct {
	parts  []string
	title  string
	rank   int
	format string
	wide   bool
	dpi    float64
	flat   bool
	seed   uint64
}

func (p *picture) fields() []Field {
	p.rank = 1
	return append([]Field{
		partField(&p.parts),
		titleField(&p.title),
		{Name: "rank", Words: "which of the matched blends, where none is given with part (default 1)", Low: 1, High: 100, To: &p.rank},
		{Name: "flat", Words: "flat colours instead of shimmer under a lamp", To: &p.flat},
	}, p.paperFields()...)
}

// paperFields are what any picture has.
func (p *picture) paperFields() []Field {
	p.format, p.dpi, p.seed = "png", 200, 1
	return []Field{
		{Name: "format", Words: "png or pdf", Choices: []string{"png", "pdf"}, To: &p.format},
		{Name: "wide", Words: "six inches wide and four high, instead of upright", To: &p.wide},
		{Name: "dpi", Words: "dots per inch of a PNG, 72 to 600 (default 200)", Low: 72, High: 600, To: &p.dpi},
		{Name: "seed", Words: "seed of the flakes' places (default 1)", To: &p.seed},
	}
}

func (p *picture) check(env *Env) error {
	if len(p.parts) > 0 && env.given("rank") {
		return faultf("rank", "chooses among matched blends and {part} states one; one of the two is accepted")
	}
	return nil
}

func (p *picture) options() CardOptions {
	return CardOptions{Shimmer: !p.flat, Seed: p.seed, Jars: true}
}

func (p *picture) paper() swatches.Paper {
	paper := swatches.Upright
	if p.wide {
		paper = swatches.Wide
	}
	paper.DPI = p.dpi
	return paper
}

// drawn is a blend that can be pictured: stated, or matched.
type drawn interface {
	Card(o CardOptions) (*swatches.Card, error)
	Board(kind string, loads []float64, o CardOptions) (*swatches.Board, error)
	Chart(kind string) (swatches.Drawing, error)
}

// ranked is one blend of a match.
type ranked struct {
	m    *MatchResult
	rank int
}

func (r ranked) Card(o CardOptions) (*swatches.Card, error) { return r.m.Card(r.rank, o) }
func (r ranked) Board(kind string, loads []float64, o CardOptions) (*swatches.Board, error) {
	return r.m.Board(r.rank, kind, loads, o)
}
func (r ranked) Chart(kind string) (swatches.Drawing, error) { return r.m.Chart(r.rank, kind) }

// subject returns the blend to draw and the result that tells of it.
func (p *picture) subject(ctx context.Context, env *Env, in Input) (drawn, Result, error) {
	if len(p.parts) > 0 {
		r, err := Blend(BlendInput{Input: in, Parts: p.parts, Title: p.title})
		return r, r, err
	}
	m, err := Match(ctx, in, env.Progress)
	if err != nil {
		return nil, nil, err
	}
	m.Title = orElse(p.title, m.Title)
	return ranked{m, p.rank}, m, nil
}

// quiet is a result that a picture tells of: it says nothing beside it.
type quiet struct{ of Result }

func (q quiet) MarshalJSON() ([]byte, error) { return json.Marshal(q.of) }

// Show says nothing.
func (quiet) Show(*Screen) {}
