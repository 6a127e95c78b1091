package job

import (
	"encoding/json"

	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// picture says how a picture is drawn.
type picture struct {
	format string
	wide   bool
	dpi    float64
	flat   bool
	seed   uint64
	rig    shimmer.Rig
}

// fields are those of a picture of a blend, stated or matched.
func (p *picture) fields(in *Input) []Field {
	in.Rank = 1
	return append([]Field{
		partField(&in.Parts),
		titleField(&in.Title),
		{Name: "rank", Words: "which of the matched blends, where none is given with part (default 1)", Low: 1, High: 100, To: &in.Rank},
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
		rigField(&p.rig),
		{Name: "seed", Words: "seed of the flakes' places (default 1)", To: &p.seed},
	}
}

// rankOrPart refuses a rank of a blend that is stated.
func (in *Input) rankOrPart(given func(string) bool) error {
	if len(in.Parts) > 0 && given("rank") {
		return faultf("rank", "chooses among matched blends and {part} states one; one of the two is accepted")
	}
	return nil
}

func (p *picture) options() CardOptions {
	return CardOptions{Shimmer: !p.flat, Rig: p.rig, Seed: p.seed, Jars: true}
}

func (p *picture) paper() swatches.Paper {
	paper := swatches.Upright
	if p.wide {
		paper = swatches.Wide
	}
	paper.DPI = p.dpi
	return paper
}

// quiet is a result that a picture tells of: it says nothing beside it.
type quiet struct{ of Result }

func (q quiet) MarshalJSON() ([]byte, error) { return json.Marshal(q.of) }

// Show says nothing.
func (quiet) Show(*Screen) {}
