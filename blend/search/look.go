package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Look is what a blend looks like, as far as two blends are told apart by it.
type Look struct {
	Name      string     `json:"look"`      // in trade words: no two of a list have the same
	Gleam     float64    `json:"gleam"`     // L* at 15° less L* at 45°
	GleamWord string     `json:"gleamWord"` // one of film.GleamWords, or film.NoGleam
	Grain     string     `json:"grain"`     // one of film.GrainWords; "" without flakes, or of none that can be counted
	Contrast  float64    `json:"-"`         // of its speckle
	Steep     colour.Lab `json:"-"`         // at 15°, under the request's light
	Family    string     `json:"-"`         // of most of its flakes, or of most of it
	Light     string     `json:"-"`         // the family of powders it is called by: that gleam in its colour, or Family
	Grade     string     `json:"-"`         // of the flakes in the bottle: satin, pearl or sparkle; "" without
}

// LooksApart is the ΔE00 at 15° from which two blends differ in colour.
const LooksApart = 3.0

// Scattered reports whether flakes are seen one by one that together do not gleam.
func (l *Look) Scattered() bool {
	return l.GleamWord == film.NoGleam && l.Grade != "" && l.Grain != "" && l.Grain != film.GrainWords[0]
}

// Is reports whether a look gleams in the colour of a family of powders.
func (l *Look) Is(family string) bool { return strings.EqualFold(l.Light, family) }

// differs reports whether two looks are different answers.
func (l *Look) differs(m *Look) bool {
	return l.Grain != m.Grain || l.GleamWord != m.GleamWord || l.Family != m.Family || colour.DeltaE00(l.Steep, m.Steep) > LooksApart
}

// lookedAt is how many of the best blends are told apart by their looks, and
// twinsShown how many of those folded under one are kept.
const (
	lookedAt   = 400
	twinsShown = 5
)

// list returns the Keep best blends of a ranked list: with Looks those that look
// different, each with the number that look like it.
func (k *ranker) list(ctx context.Context, work *solver, ranked []candidate) (blends []Blend, err error) {
	r := k.request
	if !r.Looks {
		for i := range ranked[:min(r.Keep, len(ranked))] {
			blends = append(blends, k.blend(work, &ranked[i]))
		}
		return blends, nil
	}
	if ranked, err = k.lookAt(ctx, ranked); err != nil {
		return nil, err
	}
	var kept []int
	met := len(ranked) > 0 && len(r.Shimmer.Lacks(*ranked[0].look)) == 0
	for i := range ranked {
		if met && len(r.Shimmer.Lacks(*ranked[i].look)) > 0 {
			continue // what was asked for can be had
		}
		under := -1
		for j, of := range kept {
			if !ranked[i].look.differs(ranked[of].look) {
				under = j
				break
			}
		}
		if under < 0 && !named(ranked, kept, i) {
			continue
		}
		switch {
		case under >= 0:
			blends[under].Twins++
			if !r.ShowTwins || len(blends[under].Alike) == twinsShown {
				continue
			}
		case len(kept) == r.Keep:
			continue
		}
		b := k.blend(work, &ranked[i])
		if under >= 0 {
			b.Look.Name = blends[under].Look.Name
			blends[under].Alike = append(blends[under].Alike, b)
			continue
		}
		b.Look.Name = ranked[i].look.Name
		kept, blends = append(kept, i), append(blends, b)
	}
	return blends, nil
}

// lookAt tells what the first of a ranked list look like. Where a family was asked
// for, those that gleam in its colour come first, unless the nearest of them is
// over RuleWorth farther than the nearest of all and the rules are not to be kept.
func (k *ranker) lookAt(ctx context.Context, ranked []candidate) ([]candidate, error) {
	r := k.request
	some := slices.Clone(ranked[:min(lookedAt, len(ranked))])
	worth := math.Max(r.Equal, k.nearest()+RuleWorth)
	if r.KeepRules {
		worth = math.Inf(1)
	}
	if r.Family != "" {
		for i := lookedAt; i < len(ranked) && len(some) < 2*lookedAt; i++ {
			c := &ranked[i]
			if c.delta <= worth && strings.EqualFold(k.leading(&k.search.found[c.id]).family, r.Family) {
				some = append(some, *c)
			}
		}
	}
	if err := k.looks(ctx, some); err != nil || r.Family == "" {
		return some, err
	}
	class := func(c *candidate) int {
		if c.delta <= worth && c.look.Is(r.Family) {
			return 0
		}
		return 1
	}
	k.asked = slices.ContainsFunc(some, func(c candidate) bool { return class(&c) == 0 })
	slices.SortStableFunc(some, func(a, b candidate) int { return cmp.Compare(class(&a), class(&b)) })
	return some, nil
}

// looks tells what candidates look like.
func (k *ranker) looks(ctx context.Context, list []candidate) error {
	k.search.parallel(ctx, len(list), func(work *solver, i int) {
		m := present(k.problem, &k.search.found[list[i].id])
		look := k.look(work.eval, &m)
		list[i].look = &look
	})
	return ctx.Err()
}

// named gives a look a name that none of those kept has, and reports whether it
// could: looks of one name are told apart by how their gleams differ.
func named(list []candidate, kept []int, i int) bool {
	l := list[i].look
	taken := func() *Look {
		for _, of := range kept {
			if list[of].look.Name == l.Name {
				return list[of].look
			}
		}
		return nil
	}
	first := taken()
	if first == nil {
		return true
	}
	if turn := colour.TurnWords(first.Steep, l.Steep); turn != "" {
		l.Name += ", " + turn
		return taken() == nil
	}
	return false
}

// leading finds the family of most of a blend's flakes, or of most of it, and their
// grade.
type leading struct {
	family       string
	flake        bool
	most         float64
	area, square float64 // of flakes of known size, and times their diameter squared, µm²
}

// grade is that of flakes as large as these in the mean by area.
func (l *leading) grade() string {
	return palette.GradeWord([3]float64{1: math.Sqrt(l.square / l.area)})
}

func (l *leading) meet(g *palette.Pigment, amount float64) {
	if g.Optics.Flake && g.D50 > 0 {
		area := amount * g.Optics.FaceArea
		l.area += area
		l.square += area * g.D50 * g.D50
	}
	if o := g.Optics.Flake; o && !l.flake || o == l.flake && amount > l.most {
		l.family, l.flake, l.most = g.Family, o, amount
	}
}

func (k *ranker) leading(m *found) (most leading) {
	for i := range m.n {
		most.meet(k.use[m.index[i]], m.x[i])
	}
	return most
}

// look tells what a mixture looks like.
func (k *ranker) look(e *evaluator, m *found) Look {
	e.choose(m.subset(&[MostParts]int{}))
	e.wishing = true
	e.film(&m.x, false)
	e.wishing = false
	w := e.p.wish
	contrast := 100 * math.Sqrt(e.variance(nil, nil, nil)) / colour.D65.XYZ(&e.r[w.steep]).Y
	return lookAs(w.light, &w.bare, &e.r[w.steep], &e.r[w.level], contrast, k.leading(m))
}

// LookOf tells what a worn blend looks like.
func LookOf(w film.Worn) (Look, error) {
	w, err := w.WithDefaults()
	if err != nil {
		return Look{}, err
	}
	seen, err := film.AtAngles(w, flake.Aspecular[:2])
	if err != nil {
		return Look{}, err
	}
	bare := w
	bare.Parts = nil
	skin, err := film.AtAngles(bare, flake.Aspecular[1:2])
	if err != nil {
		return Look{}, err
	}
	// Flakes that cannot be counted, as measured ones may not, have no word.
	glints, _ := film.Glints(w)
	var most leading
	for _, p := range w.Parts {
		most.meet(p.Pigment, p.Percent)
	}
	return lookAs(w.Light, &skin[0].Reflectance, &seen[0].Reflectance, &seen[1].Reflectance, glints.Contrast, most), nil
}

// lookAs is the look of skin that is bare at 45° with a blend on it that is seen at 15°
// and 45°, the contrast of its speckle, 0 for none, and most of what is in it.
func lookAs(light *colour.Viewing, bare, steep, level *colour.Spectrum, contrast float64, most leading) Look {
	l := Look{Steep: light.Lab(steep), Contrast: contrast, Family: most.family, Grade: most.grade()}
	l.Gleam = l.Steep.L - light.Lab(level).L
	l.GleamWord = film.WordOfGleam(l.Gleam)
	if contrast > 0 {
		l.Grain = film.GrainWord(contrast)
	}
	l.Name = lookName(&l, light, bare, steep, level)
	return l
}

// lightWords name the light a blend gleams with by its hue, each up to a limit,
// degrees, and the family of powders whose own light it is (this tool's own cut of
// the trade's words, by how the built-in powders come out; common practice).
var lightWords = []struct {
	to           float64
	word, family string
}{
	{25, "rose", "rose"}, {43, "coral rose", "rose"}, {62, "russet", "fox"}, {78, "bronze", "bronze"}, {94, "warm gold", "gold"}, {120, "gold", "gold"}, {140, "green gold", "green"},
	{205, "green", "green"}, {245, "sea green", "green"}, {295, "blue", "blue"}, {340, "violet", "violet"}, {360, "rose", "rose"},
}

// Of the gleaming light, taken at mid lightness: under the first chroma it is
// white, under the second pale. Bronze and copper gleam in one hue: mostly of the
// one or the other powder they are called by it, else over the third it is copper
// (at 1 to 4 % the built-in bronzes have 22 to 26, the coppers 29 to 32).
const (
	whiteLight  = 8.0
	paleLight   = 14.0
	copperLight = 27.0
)

// greenOver is the skin's lightness L* under which the greenish of the golds is seen as
// green (held to the cards a client looked at).
const greenOver = 40.0

// middleY is that mid lightness, as luminance.
const middleY = 50

// lookName names a look by the colour seen in the light, its grade and its gleam, and
// notes its Light: the gleam's, what there is more of at 15° than at 45°, unless a tint
// makes the colour. Flakes that gleam too little together may still be seen one by one.
func lookName(l *Look, light *colour.Viewing, bare, steep, level *colour.Spectrum) string {
	if l.GleamWord == film.NoGleam {
		l.Light = l.Family
		if l.Scattered() {
			return l.Family + " " + l.Grade + ", scattered glints"
		}
		return l.Family + ", no gleam"
	}
	a, b := light.XYZ(steep), light.XYZ(level)
	k := middleY / (a.Y - b.Y)
	gleam := light.LabOf(colour.XYZ{X: k * (a.X - b.X), Y: middleY, Z: k * (a.Z - b.Z)})
	lit := light.LabOf(colour.XYZ{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Z: (a.Z + b.Z) / 2})
	skin := light.Lab(bare)
	word := tintWord(l, gleam, skin, lit)
	if word == "" {
		word = gleamWord(l, gleam.LCh())
	}
	if word == "gold" && skin.L < greenOver {
		word = "green gold"
	}
	full := light.LabOf(colour.XYZ{X: b.X + fullGleam*(a.X-b.X), Y: b.Y + fullGleam*(a.Y-b.Y), Z: b.Z + fullGleam*(a.Z-b.Z)})
	word = onSkin(l, word, gleam.LCh(), skin.LCh(), full.LCh())
	if l.Grade != "" {
		word += " " + l.Grade
	}
	return word + ", " + l.GleamWord + " gleam"
}

// gleamWord names a look, and notes its Light, by the colour it gleams in.
func gleamWord(l *Look, c colour.LCh) (word string) {
	for _, w := range lightWords {
		if word == "" && c.H <= w.to {
			word, l.Light = w.word, w.family
		}
	}
	switch {
	case c.C < whiteLight && (l.Family == "champagne" || l.Family == "peach"):
		word, l.Light = l.Family, l.Family
	case c.C < whiteLight:
		word, l.Light = "silver", "silver"
	case word == "russet" && c.C < paleLight:
		word, l.Light = "rose", "rose" // on skin a pale russet is seen as pink
	case word == "bronze" && (l.Family == "copper" || l.Family != "bronze" && c.C > copperLight):
		word, l.Light = "copper", "copper"
	}
	if whiteLight <= c.C && c.C < paleLight {
		word = "pale " + word
	}
	return word
}

// The light on skin where it gleams most, by which a look's name is held to a picture:
// fullGleam is how many times what is smoothed on gleams there (what is brushed on full
// gleams six to eight times as much, half of it in the mean over the band). Our own
// choice, held to cards a client looked at: degrees of hue that it lies under the skin's,
// where it is a rose at all; what of a*, b* across the skin's hue is seen as pink in a
// white light, lilac where the gleam is of a blue; and the share of skin's chroma under
// which what is named for its warmth is pale.
const (
	fullGleam = 3.5
	roseUnder = 1.5
	pinkOver  = 2.0
	blueFrom  = 245.0
	blueTo    = 330.0
	paleUnder = 0.35
)

// onSkin is the word for a look by how its light turns the skin it is on.
func onSkin(l *Look, word string, gleam, skin, full colour.LCh) string {
	turn := colour.HueTurn(skin.H, full.H)
	pink := -full.C * math.Sin(turn*math.Pi/180)
	switch {
	case l.Light == "rose" && turn > -roseUnder:
		l.Light = "peach"
		return strings.Replace(strings.Replace(word, "coral ", "", 1), "rose", "peach", 1)
	case gleam.C >= whiteLight || word != l.Family && word != "silver":
	case pink >= pinkOver && word == "peach":
		l.Light = "rose"
		return "rose"
	case pink >= pinkOver && gleam.H > blueFrom && gleam.H < blueTo:
		return "lilac " + word
	case pink >= pinkOver:
		return "pink " + word
	case word != "silver" && full.C < paleUnder*skin.C:
		return "pale " + word
	}
	return word
}

// When a tint makes the colour of a look (our own choice, held to the cards a client
// looked at). A gleam alone takes skin's a*, b* towards its own: what the colour seen in
// the light has changed across that way, or against it, is a tint's. It names the look
// from so much on, if it is over a share of the change along the way, and if the change
// has not the hue of a coloured gleam anyhow, as of powders that tint as they gleam.
const (
	leastTint = 2.0  // of a*, b*
	tintShare = 0.5  // of the change along
	likeGleam = 45.0 // degrees of hue
	darkens   = 0.5  // L*
)

// tintWord names a look, and notes its Light, by the tint that makes its colour, rose
// or gold, russet or bronze where it darkens the skin; "" where the gleam makes it.
func tintWord(l *Look, gleam, bare, lit colour.Lab) string {
	to := colour.Lab{A: gleam.A - bare.A, B: gleam.B - bare.B}
	by := colour.Lab{A: lit.A - bare.A, B: lit.B - bare.B}
	way := to.LCh().C
	along := math.Max(0, (by.A*to.A+by.B*to.B)/way)
	tint := colour.Lab{A: by.A - along*to.A/way, B: by.B - along*to.B/way}.LCh()
	if c := gleam.LCh(); tint.C < math.Max(leastTint, tintShare*along) || c.C >= whiteLight && math.Abs(colour.HueTurn(c.H, by.LCh().H)) < likeGleam {
		return ""
	}
	word, darker, family := "rose", "russet", "fox"
	switch {
	case tint.H > 62 && tint.H <= 120: // as lightWords has them
		word, darker, family = "gold", "bronze", "bronze"
	case tint.H > 62 && tint.H < 340:
		return "" // greyer, more than green or blue
	}
	l.Light = word
	switch {
	case lit.L < bare.L-darkens:
		word, l.Light = darker, family
	case lit.LCh().C < bare.LCh().C:
		word = "pale " + word
	}
	return word
}
