package batch

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
)

// Label is the text of a label for each market.
type Label struct {
	EU LabelText `json:"eu"`
	US LabelText `json:"us"`
}

// LabelText is one market's: what to print, with blanks to fill in, and notes
// to the maker that are not printed.
type LabelText struct {
	Product     string   `json:"product"`     // what it is
	Net         string   `json:"net"`         // nominal content
	Ingredients string   `json:"ingredients"` // the list, with its heading
	Lines       []string `json:"lines"`       // batch code, durability, address …
	Cautions    []string `json:"cautions"`
	Notes       []string `json:"notes"` // to the maker
	Source      string   `json:"source"`
}

func label(req *Request, b *Batch) *Label {
	subs, colours := composition(b)
	scentPercent := 0.0
	for _, l := range b.Weighings {
		if hasRole(l, RoleScent) {
			scentPercent += l.Weighed
		}
	}
	allergens := allergensOf(req.Scent, scentPercent)
	list, notes := ingredientNames(req, subs)
	eu := slices.Clone(list)
	for _, a := range allergens {
		if !slices.ContainsFunc(eu, func(n string) bool { return strings.EqualFold(n, a.Label) }) {
			eu = append(eu, a.Label)
		}
	}
	us := make([]string, len(list))
	for i, n := range list {
		us[i] = usName(n)
	}
	var euColours, usColours []string
	for _, c := range colours {
		euColours = append(euColours, c.CI)
		if !slices.Contains(usColours, c.USName) {
			usColours = append(usColours, c.USName)
		}
	}
	l := &Label{
		EU: LabelText{Ingredients: "Ingredients: " + strings.Join(append(eu, euColours...), ", "), Source: "Article 19 of Regulation (EC) No 1223/2009"},
		US: LabelText{Ingredients: "Ingredients: " + strings.Join(append(us, usColours...), ", "), Source: "21 CFR 701.3, 701.11 to 701.13"},
	}
	l.EU.Notes = append(l.EU.Notes, notes...)
	l.US.Notes = append(l.US.Notes, notes...)
	if slices.ContainsFunc(colours, func(c *rules.Colour) bool { return c.INCI == "Mica" }) {
		l.EU.Notes = append(l.EU.Notes, "Mica has no entry of its own in Annex IV; labels write it Mica or CI 77019.")
	}
	if slices.ContainsFunc(allergens, func(a *rules.Allergen) bool { return a.New() }) {
		l.EU.Notes = append(l.EU.Notes, "Some of the scent allergens are on the longer list of Regulation (EU) 2023/1545, which binds new products from 31 July 2026 and all from 31 July 2028.")
	}
	req.labelLines(b, l, colours)
	return l
}

// ingredientNames is the list without colourants and the notes on it.
func ingredientNames(req *Request, subs []substance) (list, notes []string) {
	if req.Base.Kind == Ready {
		var sure bool
		list, sure = readyOrder(&req.Base, subs)
		if !sure {
			notes = append(notes, "What was added over 1 % stands before the first ingredient that is at most 1 %; its exact place needs the base's percentages from its supplier.")
		}
		return list, notes
	}
	guess := false
	for _, s := range subs {
		list = append(list, s.inci)
		guess = guess || s.guess
	}
	if guess {
		notes = append(notes, "Some bought blends give no shares; they were taken as equal parts, so check the order with the supplier's sheets.")
	}
	return list, notes
}

// usName is an ingredient as a US label writes it.
func usName(inci string) string {
	if in := rules.IngredientOf(inci); in != nil && in.USName != "" {
		return in.USName
	}
	return inci
}

func (req *Request) labelLines(b *Batch, l *Label, colours []*rules.Colour) {
	product := map[Kind]string{Lotion: "Shimmer body lotion", Oil: "Shimmer body oil", Mist: "Shimmer body oil mist", Ready: "Shimmer body lotion"}[b.Kind]
	if b.Kind == Ready && !req.Base.HasWater() {
		product = "Shimmer body oil"
	}
	if len(req.Parts) == 0 {
		product = strings.Replace(product, "Shimmer b", "B", 1)
	}
	l.EU.Product, l.US.Product = product, product
	l.EU.Net, l.US.Net = netEU(req), netUS(req, b)
	code := blank(b.Code, 12)
	pao := "Best before the end of: ____ / ____ ; or, if it keeps over 30 months, the open-jar sign with ____ M"
	l.EU.Lines = []string{
		"Batch: " + code,
		pao,
		"Responsible person: ______________________________ (name and address in the Union)",
		"Made in: ______________ (if imported)",
	}
	l.US.Lines = []string{
		"Lot: " + code,
		"Made by or for: ______________________________ (name and place of business)",
		"To report a reaction: ______________________________ (US address, telephone or web page)",
	}
	cautions := labelCautions(req, b)
	l.EU.Cautions = cautions
	l.US.Cautions = slices.Clone(cautions)
	l.US.Cautions = append(l.US.Cautions, "Warning—The safety of this product has not been determined. (21 CFR 740.10: printed unless its safety has been substantiated)")
	if slices.ContainsFunc(colours, func(c *rules.Colour) bool { return c.CI == "CI 77891" || c.CI == "CI 77947" }) {
		note := "Titanium dioxide is here for colour. Claim no sun protection and no SPF: that needs tests"
		l.EU.Notes = append(l.EU.Notes, note+" (Recommendation 2006/647/EC).")
		l.US.Notes = append(l.US.Notes, note+" and makes it a drug (21 CFR 700.35).")
	}
	for _, c := range colours {
		if c.INCI == "Carmine" {
			l.US.Notes = append(l.US.Notes, "Carmine must be named on the label (21 CFR 73.2087).")
		}
		if strings.HasPrefix(c.Section, "74") {
			l.US.Notes = append(l.US.Notes, c.USName+" must come from an FDA-certified lot ("+c.Source()+").")
		}
	}
	l.EU.Notes = append(l.EU.Notes, "Letters must be legible and the text in the language of the country (Article 19(5)).", Deferral)
	l.US.Notes = append(l.US.Notes, "Letters at least 1/16 inch high for the ingredients (21 CFR 701.3(b)).", Deferral)
}

// labelCautions are the ones for the wearer, short enough to print.
func labelCautions(req *Request, b *Batch) []string {
	var out []string
	if s := b.Suspension; s != nil && !s.Holds {
		out = append(out, "Shake well before use.")
	}
	switch b.Area {
	case "lips", "eyes":
	default:
		out = append(out, "For the body only. Keep away from eyes and lips.")
	}
	if b.Kind == Mist {
		out = append(out, "Spray away from the face. Do not breathe the mist. Keep from flames and hot surfaces.")
	}
	if !req.Base.HasWater() {
		out = append(out, "Oil makes floors slippery.")
		if b.Kind != Mist {
			out = append(out, "Keep water out.")
		}
	}
	out = append(out, "Do not use on broken skin. Stop if irritation occurs.", "May come off on clothes. Keep out of reach of children.")
	return out
}

func netEU(req *Request) string {
	if req.ContainerML <= 0 {
		return "____ ml"
	}
	return fmt.Sprintf("%g ml", req.ContainerML)
}

// usFluidOunce is in ml (NIST Handbook 44, appendix C, from memory).
const usFluidOunce = 29.5735

// netUS gives fluid ounces for what pours and weight for what does not
// (21 CFR 701.13(b)), rounded down so as not to overstate.
func netUS(req *Request, b *Batch) string {
	if !req.Base.pours() {
		if req.ContainerML <= 0 {
			return "NET WT ____ OZ (____ g)"
		}
		g := req.ContainerML * b.DensityGML
		return fmt.Sprintf("NET WT %s OZ (%.0f g)", downTo2(g/28.3495), math.Floor(g))
	}
	if req.ContainerML <= 0 {
		return "____ FL OZ (____ mL)"
	}
	return fmt.Sprintf("%s FL OZ (%g mL)", downTo2(req.ContainerML/usFluidOunce), req.ContainerML)
}

// downTo2 rounds down to two decimals.
func downTo2(v float64) string {
	return fmt.Sprintf("%.2f", math.Floor(v*100+1e-9)/100)
}
