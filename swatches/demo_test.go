package swatches

import (
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

// mix is a demo blend: powders of the built-in drawer and their % w/w.
type mix []struct {
	powder  string
	percent float64
}

func wornOn(tone string, apply, tilt float64, m mix) film.Worn {
	s, err := skin.Find(tone)
	if err != nil {
		panic(err)
	}
	w := film.Worn{Ground: film.Ground{Reflectance: s.Reflectance}, Apply: apply, Tilt: tilt}
	for _, part := range m {
		g, err := drawer().Find(part.powder)
		if err != nil {
			panic(err)
		}
		w.Parts = append(w.Parts, film.Part{Pigment: g, Percent: part.percent})
	}
	return w
}

// look predicts a worn blend under a viewing and makes its film.
func look(w film.Worn, v *colour.Viewing) (colour.Lab, *shimmer.Film) {
	w.Light = v
	l, err := film.Predict(w)
	if err != nil {
		panic(err)
	}
	f, err := shimmer.Of(w)
	if err != nil {
		panic(err)
	}
	return l.Lab, f
}

// shimmerCard is a demo card whose colours and pictures are the model's own.
func shimmerCard(tone string, m mix, v *colour.Viewing) *Card {
	c := demoCard()
	c.Viewing = v
	c.Skin.Name = "bare skin, " + tone
	c.Skin.Lab, c.Skin.Film = look(wornOn(tone, 0, 10, nil), v)
	for i, cov := range film.Coverages {
		c.Coverages[i] = Coverage{Name: cov.Name, MgPerCM2: cov.MgPerCM2}
		c.Coverages[i].Lab, c.Coverages[i].Film = look(wornOn(tone, cov.MgPerCM2, cov.SigmaDeg, m), v)
	}
	c.Target.Lab = c.Coverages[1].Lab
	c.Target.Lab.L += 1.2
	c.Target.Lab.B -= 0.8
	c.Blend.Parts = nil
	c.Blend.LoadPercent = 0
	for _, p := range m {
		c.Blend.Parts = append(c.Blend.Parts, Part{Powder: p.powder, Percent: p.percent, Grams: p.percent * 2.5})
		c.Blend.LoadPercent += p.percent
	}
	cov := film.Coverages[1]
	g, err := film.Glints(wornOn(tone, cov.MgPerCM2, cov.SigmaDeg, m))
	if err != nil {
		panic(err)
	}
	c.Sparkle = Sparkle{Word: g.Word, PerCM2: g.PerCM2}
	return c
}

var (
	goldPearl   = mix{{"bright gold", 3.2}, {"champagne", 1.3}, {"clear mica", 0.5}}
	bronzeSpark = mix{{"bronze sparkle", 3}, {"deep gold sparkle", 2}}
	roseSatin   = mix{{"rose gleam", 2}, {"warm gold satin", 2}, {"satin veil", 1}}
)

func stageView() *colour.Viewing {
	l, err := colour.FindIlluminant("stage")
	if err != nil {
		panic(err)
	}
	return colour.NewViewing(l, colour.CIE1931)
}

// demoCard is invented: a dance company's workshop mixing for one dancer.
func demoCard() *Card {
	return &Card{
		Heading: Heading{"Lantern gold", "demo · for Łucja, second act", "14 March 2026", "modelled"},
		Skin:    Patch{Lab: colour.Lab{L: 64.1, A: 11.3, B: 14.4}},
		Target:  &Patch{Name: "warm gold", Lab: colour.Lab{L: 68.0, A: 9.2, B: 19.8}},
		Coverages: []Coverage{
			{Name: "sheer", MgPerCM2: 0.5, Lab: colour.Lab{L: 65.6, A: 10.4, B: 16.1}},
			{Name: "smoothed", MgPerCM2: 1, Lab: colour.Lab{L: 67.6, A: 9.5, B: 19.4}},
			{Name: "full", MgPerCM2: 2, Lab: colour.Lab{L: 70.4, A: 7.9, B: 23.7}},
		},
		Matched: 1,
		Blend: Blend{
			Name: "Lantern gold",
			Parts: []Part{
				{Powder: "Honey gold, fine", Percent: 3.10, Grams: 7.75},
				{Powder: "Copper ember", Percent: 1.25, Grams: 3.13},
				{Powder: "Satin white filler", Percent: 0.65, Grams: 1.62},
			},
			LoadPercent: 5, Base: "everyday lotion", BatchGrams: 250,
		},
		Undertone: "neutral, leaning warm (hue 52°)",
		Sparkle:   Sparkle{Word: "pearl", PerCM2: 342},
		Remarks:   []string{"Modelled from coat thickness; try it on a wrist before a batch."},
	}
}

// crowdedCard has the longest of everything a card accepts.
func crowdedCard() *Card {
	c := demoCard()
	c.Title = "Midnight rehearsal russet-and-rose shimmer for the whole corps de ballet"
	c.Note = "demo · for Łucja Żółć-Núñez de la Peña, 日本 tour, second and third acts with changes"
	c.Date = "30 September 2026"
	c.Target.Name = "a warm rose gold two steps lighter than bare skin under lanterns"
	c.Skin = Patch{Name: "bare skin, inner forearm", Lab: colour.Lab{L: 64.1, A: 11.3, B: 14.4}}
	c.Coverages[0].Name = "sheer, rubbed in until it disappears"
	c.Coverages[1].Lab = colour.Lab{L: 80.6, A: 60.5, B: 95.4}
	c.Coverages[2].Lab = colour.Lab{L: 104.2, A: -12.5, B: 113.7}
	c.Blend.Parts = nil
	for _, n := range []string{
		"Champagne satin, extra fine, second delivery of spring", "Honey gold", "Deepest antique bronze with hematite over rutile",
		"Copper ember", "Rose quartz interference", "Plain uncoated mica filler", "Iron oxide, yellow", "Interferenceviolettwilightmorningmist",
	} {
		c.Blend.Parts = append(c.Blend.Parts, Part{Powder: n, Percent: 12.25, Grams: 12250.25})
	}
	c.Blend.LoadPercent = 98
	c.Blend.BatchGrams = 100000
	c.Blend.Base = "slow-drying silk body oil with castor and meadowfoam"
	c.Undertone = "cool against the median of skins this light (hue 41.2°), though the hue means little here"
	c.Sparkle = Sparkle{Word: "sparkle", PerCM2: 12345}
	return c
}

// demoCompare sets a warm and a cool turn of two cards beside each other.
func demoCompare(warm, cool func() *Card) *Compare {
	w, c := warm(), cool()
	w.Title, c.Title = "warm", "cool"
	w.Undertone, c.Undertone = "warm, hue 62°", "cool, hue 44°"
	turn := func(l *colour.Lab, degrees float64) {
		p := l.LCh()
		p.H += degrees
		*l = p.Lab()
	}
	turn(&c.Target.Lab, -20)
	for i := range c.Coverages {
		turn(&c.Coverages[i].Lab, -6*float64(i+1))
	}
	c.Blend.Parts[0].Powder = "Rose copper, fine"
	return &Compare{Heading: Heading{Title: "Lantern gold, warm and cool", Note: w.Note, Date: w.Date}, Versions: []*Card{w, c}}
}

func shimmerCompare() *Compare {
	w, c := shimmerCard("light", goldPearl, nil), shimmerCard("light", roseSatin, nil)
	w.Title, c.Title = "warm", "cool"
	w.Undertone, c.Undertone = "warmer than the skin by 4°", "cooler than the skin by 3°"
	return &Compare{Heading: Heading{Title: "Lantern, warm and cool", Note: w.Note, Date: w.Date}, Versions: []*Card{w, c}}
}

// fourCard has a coverage of its own beside the three named.
func fourCard() *Card {
	c := demoCard()
	c.Coverages = append(c.Coverages[:2:2], Coverage{Name: "as matched", MgPerCM2: 1.4, Lab: colour.Lab{L: 68.6, A: 9.0, B: 20.4}}, c.Coverages[2])
	c.Matched = 2
	return c
}
