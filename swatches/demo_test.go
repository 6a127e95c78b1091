package swatches

import (
	"fmt"
	"sync"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/swatches/shimmer"
)

var drawer = sync.OnceValue(func() *palette.Drawer {
	p, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		panic(err)
	}
	return p
})

// look is a demo blend, one powder and its % w/w, worn on a preset skin: what
// the model predicts and pictures. No powder is bare skin.
func look(tone string, apply float64, powder string, percent float64) Patch {
	s, err := skin.Find(tone)
	if err != nil {
		panic(err)
	}
	w := film.Worn{Ground: film.Ground{Reflectance: s.Reflectance}, Apply: apply}
	if powder != "" {
		g, err := drawer().Find(powder)
		if err != nil {
			panic(err)
		}
		w.Parts = []film.Part{{Pigment: g, Percent: percent}}
	}
	l, err := film.Predict(w)
	if err != nil {
		panic(err)
	}
	f, err := shimmer.Of(w)
	if err != nil {
		panic(err)
	}
	return Patch{Name: "bare skin", Lab: l.Lab, Film: f}
}

// shimmerCard is a demo card whose colours and pictures are the model's own.
func shimmerCard(tone, powder string) *Card {
	c := demoCard()
	r := &c.Rows[0]
	r.Skin = look(tone, 0, "", 0)
	for i, cov := range film.Coverages {
		r.Looks[i].Patch = look(tone, cov.MgPerCM2, powder, 4)
		r.Looks[i].Name = cov.Name
	}
	r.Target.Lab = r.Looks[1].Lab
	r.Target.Lab.L += 1.2
	return c
}

// demoCard is invented: a dance company's workshop mixing for one dancer.
func demoCard() *Card {
	c := &Card{
		Heading: Heading{"Lantern gold", "demo · for Łucja, second act", "14 March 2026", "modelled"},
		Lead:    "Pearl shimmer, warmer than the skin by 5°.",
		Rows: []Row{{
			Skin:   Patch{Name: "bare skin", Lab: colour.Lab{L: 64.1, A: 11.3, B: 14.4}},
			Target: &Patch{Name: "warm gold", Lab: colour.Lab{L: 68.0, A: 9.2, B: 19.8}},
			Looks: []Look{
				{Patch: Patch{Name: "sheer", Lab: colour.Lab{L: 65.6, A: 10.4, B: 16.1}}, Amount: "0.5 mg/cm²"},
				{Patch: Patch{Name: "smoothed", Lab: colour.Lab{L: 67.6, A: 9.5, B: 19.4}}, Amount: "1 mg/cm²", Matched: true},
				{Patch: Patch{Name: "full", Lab: colour.Lab{L: 70.4, A: 7.9, B: 23.7}}, Amount: "2 mg/cm²"},
			},
		}},
	}
	c.Blocks = []Block{
		&Blend{
			Name: "Lantern gold",
			Parts: []Part{
				{Powder: "Honey gold, fine", Percent: 3.10, Grams: 7.75},
				{Powder: "Copper ember", Percent: 1.25, Grams: 3.13},
				{Powder: "Satin white filler", Percent: 0.65, Grams: 1.62},
			},
			LoadPercent: 5, Base: "everyday lotion", BatchGrams: 250,
		},
		Numbers{Row: &c.Rows[0], Named: true},
		Sweep{Deg: []float64{10, 45, 115}, Labs: []colour.Lab{{L: 82, A: 8, B: 26}, {L: 67, A: 9, B: 19}, {L: 60, A: 10, B: 15}}, Marks: []float64{15, 45, 75, 110}},
		Jars{Patches: []Patch{{Name: "in the jar, wet", Lab: colour.Lab{L: 90, A: 3, B: 9}}, {Name: "dried, in depth", Lab: colour.Lab{L: 78, A: 7, B: 24}}}},
		Text{Lines: []string{"Light: daylight, noon (D65/2)", "Shimmer: " + "pearl, " + GlintWords(342), "Modelled from coat thickness; try it on a wrist before a batch."}, Small: true},
	}
	return c
}

func (c *Card) blend() *Blend { return c.Blocks[0].(*Blend) }

// crowdedCard has the longest of everything a card accepts.
func crowdedCard() *Card {
	c := demoCard()
	c.Title = "Midnight rehearsal russet-and-rose shimmer for the whole corps de ballet"
	c.Note = "demo · for Łucja Żółć-Núñez de la Peña, 日本 tour, second and third acts with changes"
	c.Date = "30 September 2026"
	r := &c.Rows[0]
	r.Skin.Name = "bare skin, inner forearm"
	r.Looks[0].Name = "sheer, rubbed in until it disappears"
	r.Looks[1].Lab = colour.Lab{L: 80.6, A: 60.5, B: 95.4}
	r.Looks[2].Lab = colour.Lab{L: 104.2, A: -12.5, B: 113.7}
	b := c.blend()
	b.Parts = nil
	for _, n := range []string{
		"Champagne satin, extra fine, second delivery of spring", "Honey gold", "Deepest antique bronze with hematite over rutile",
		"Copper ember", "Rose quartz interference", "Plain uncoated mica filler", "Iron oxide, yellow", "Interferenceviolettwilightmorningmist",
	} {
		b.Parts = append(b.Parts, Part{Powder: n, Percent: 12.25, Grams: 12250.25})
	}
	b.LoadPercent, b.BatchGrams = 98, 100000
	b.Base = "slow-drying silk body oil with castor and meadowfoam"
	return c
}

// clientCard is what she is given.
func clientCard() *Card {
	c := shimmerCard("brown", "bronze")
	c.Plain, c.Source = true, ""
	c.Blocks = []Block{
		Text{Name: "How to wear it", Lines: []string{"Best smoothed on by hand. Sheerer when rubbed in until it disappears."}},
		Text{Name: "Ingredients", Lines: []string{"Aqua, Caprylic/Capric Triglyceride, Glycerin, Cetearyl Olivate, CI 77019, CI 77491, CI 77891"}, Small: true},
		Text{Name: "Take care", Lines: []string{"For the body only. Stop if irritation occurs."}, Small: true},
	}
	return c
}

// compareCard is a warm and a cool turn of one look on two arms.
func compareCard() *Card {
	warm, cool := shimmerCard("light", "warm gold"), shimmerCard("light", "rose gleam")
	c := &Card{Heading: warm.Heading, Rows: []Row{warm.Rows[0], cool.Rows[0]}}
	c.Rows[0].Name, c.Rows[1].Name = "Warm", "Cool"
	c.Rows[1].Gap = "The gap: ΔE00 4.2, clearly different; cool is redder"
	a, b := warm.blend(), cool.blend()
	a.Name, a.Named, b.Name, b.Named = "Warm", true, "Cool", true
	c.Blocks = []Block{Numbers{Row: &c.Rows[0], Title: "Warm", Named: true}, Numbers{Row: &c.Rows[1], Title: "Cool", Named: true}, Columns{a, b}, Text{Lines: []string{"Light: daylight, noon (D65/2)"}, Small: true}}
	return c
}

// skinsCard is the longest board there is: a blend of its own, with long names,
// for each of six skins.
func skinsCard() *Card {
	c := &Card{Heading: Heading{Title: "On several skins", Note: "demo", Date: "14 March 2026", Source: "modelled"}}
	var remarks []string
	for i, s := range skin.Presets() {
		r := Row{Name: s.Name, Skin: look(s.Name, 0, "", 0)}
		r.Target = &Patch{Lab: colour.Lab{L: r.Skin.Lab.L + 1, A: 9, B: 20}}
		for _, cov := range film.Coverages {
			l := Look{Patch: look(s.Name, cov.MgPerCM2, "bronze", 4), Amount: amount(cov.MgPerCM2) + "\u00a0mg/cm²"}
			l.Name = cov.Name
			r.Looks = append(r.Looks, l)
		}
		r.Words = []string{fmt.Sprintf("Deepest antique bronze over rutile 2.4%d %% (4.81 g) + Champagne satin, extra fine, spring delivery 1.10 %% (2.20 g) = load 4 %%", i)}
		c.Rows = append(c.Rows, r)
		remarks = append(remarks, s.Name+": a remark about this skin that is long enough to need a second line of the footer, as they do.")
	}
	c.Blocks = []Block{Text{Lines: remarks, Small: true}}
	return c
}

// loadsCard is one blend at as many loads as a row takes.
func loadsCard() *Card {
	c := &Card{Heading: Heading{Title: "Lantern gold by load", Note: "demo", Date: "14 March 2026", Source: "modelled"}}
	r := Row{Skin: look("light", 0, "", 0)}
	for load := range MaxLooks {
		l := Look{Patch: look("light", 1, "bright gold", float64(load+1)), Words: []string{"warmer by 12°", GlintWords(45210)}}
		l.Name = fmt.Sprintf("%d %%", load+1)
		r.Looks = append(r.Looks, l)
	}
	c.Rows = []Row{r}
	c.Blocks = []Block{crowdedCard().blend(), Numbers{Row: &c.Rows[0], Named: true}}
	return c
}
