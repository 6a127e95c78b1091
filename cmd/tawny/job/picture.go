package job

import (
	"encoding/json"
	"fmt"
	"slices"

	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// picture says how a picture is drawn.
type picture struct {
	format   string
	wide     bool
	paperIs  string
	dpi      float64
	flat     bool
	seed     int64
	rig      shimmer.Rig
	audience string
}

// fields are those of a picture of a blend, stated or matched.
func (p *picture) fields(in *Input) []Field {
	in.Rank = 1
	return append([]Field{
		partField(&in.Parts),
		titleField(&in.Title, "name of the blend"),
		{Name: "rank", Words: "which of the matched blends, where none is given with part (default 1)", Low: 1, High: 100, Not: rule{"part": "chooses among matched blends and {part} states one; one of the two is accepted"}, To: &in.Rank},
		p.flatField(),
	}, p.paperFields()...)
}

func (p *picture) flatField() Field {
	return Field{Name: "flat", Words: "flat colours instead of shimmer", To: &p.flat}
}

func (p *picture) forField() Field {
	return Field{Name: "for", Words: "maker (recipe and numbers, the default) or client (neither)", Choices: []string{"maker", "client"}, To: &p.audience}
}

// paperFields are what any picture has.
func (p *picture) paperFields() []Field {
	p.format, p.seed = "png", 1
	rig := rigField(&p.rig)
	rig.Not = rule{"flat": "is the light of pictures with shimmer, and {flat} draws flat colours; one of the two is accepted"}
	return []Field{
		{Name: "format", Words: "png or pdf", Choices: []string{"png", "pdf"}, To: &p.format},
		{Name: "paper", Words: "photo (4 × 6 inches, the default), a6, or phone, as long as it needs; a card on the others has a back", Choices: []string{"photo", "phone", "a6"}, To: &p.paperIs},
		{Name: "wide", Words: "lying, instead of upright", To: &p.wide},
		{Name: "dpi", Words: "dots per inch of a PNG, 72 to 600 (default 200; a phone's 392)", Low: 72, High: 600, To: &p.dpi},
		rig,
		{Name: "seed", Words: "seed of the flakes' places (default 1)", To: &p.seed},
	}
}

func (p *picture) options() CardOptions {
	return CardOptions{Shimmer: !p.flat, Rig: p.rig, Seed: uint64(p.seed), Client: p.audience == "client"}
}

func (p *picture) paper() swatches.Paper {
	paper := map[string]swatches.Paper{"phone": swatches.Phone, "a6": swatches.A6}[p.paperIs]
	if paper.WidthMM == 0 {
		paper = swatches.Upright
	}
	if p.wide {
		paper.WidthMM, paper.HeightMM = paper.HeightMM, paper.WidthMM
	}
	if p.dpi > 0 {
		paper.DPI = p.dpi
	}
	return paper
}

// on returns a card's pages and their paper: what is cut out, printed or a client's keeps
// to its size and has a back, but for the rows of a board; a maker's board or a phone's
// picture is as long as it needs. Where another paper was asked for that is told.
func (p *picture) on(env *Env, c *swatches.Card) ([]swatches.Drawing, swatches.Paper) {
	paper, long := p.paper(), *c
	back := (len(c.Rows) == 1 || c.Plain) && p.paperIs != "phone"
	if back {
		long.Blocks = nil
	} else {
		long.Blocks = append(slices.Clip(c.Blocks), c.Back...)
	}
	comparison := c.Rows[len(c.Rows)-1].Gap != ""
	if back && (len(c.Rows) == 1 || comparison) {
		return c.Pages(paper), paper
	}
	got := long.Paper(paper)
	asked := p.paperIs != "" || p.wide
	if asked && (got.WidthMM != paper.WidthMM || got.HeightMM != paper.HeightMM && p.paperIs != "phone") {
		env.warn(fmt.Sprintf("%.0f × %.0f mm is too small for the picture, which is %.0f × %.0f mm%s", paper.WidthMM, paper.HeightMM, got.WidthMM, got.HeightMM, when(got.WidthMM == swatches.A4.WidthMM && got.HeightMM == swatches.A4.HeightMM, ", an A4 page")))
	}
	if back {
		return c.Pages(got), got
	}
	return []swatches.Drawing{&long}, got
}

// quiet is a result that a picture tells of: beside it is said what was asked and is not
// reached.
type quiet struct{ of Result }

func (q quiet) MarshalJSON() ([]byte, error) { return json.Marshal(q.of) }

// Show says so.
func (q quiet) Show(s *Screen) {
	switch r := q.of.(type) {
	case *MatchResult:
		s.paragraphs(r.unreached())
	case *skinsResult:
		s.paragraphs(r.unreached)
	}
}
