package batch

import "strings"

// Caution is one safety line and where on the sheet it belongs.
type Caution struct {
	When   When   `json:"when"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// When is the moment of the work a caution belongs to.
type When string

// The moments, in order.
const (
	WhenBuying  When = "buying"
	WhenMaking  When = "making"
	WhenFilling When = "filling"
	WhenSelling When = "selling"
	WhenWearing When = "wearing"
)

const practice = "common practice"

// Deferral ends every sheet and label text.
const Deferral = "Local rules and a qualified safety assessor decide what may be sold; this sheet is a help, not an approval."

func cautions(p product) []Caution {
	var out []Caution
	for _, line := range tell("cautions", p) {
		when, text, _ := strings.Cut(line, ": ")
		text, source, given := strings.Cut(text, " | ")
		if !given {
			source = practice
		}
		out = append(out, Caution{When(when), text, source})
	}
	return out
}
