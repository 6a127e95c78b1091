package swatches

import (
	"tawny/blend/film"
	"tawny/colour"
)

func jarsCard() *Card {
	c := shimmerCard("tan", goldPearl, nil)
	w := wornOn("tan", 1, 10, goldPearl)
	dry, err := film.InTheJar(w)
	if err != nil {
		panic(err)
	}
	// A demo whitening of the wet emulsion.
	w.Base.S = colour.Constant(0.6)
	wet, err := film.InTheJar(w)
	if err != nil {
		panic(err)
	}
	c.Jars = []Patch{{Name: "in the jar, wet lotion", Lab: colour.D65.Lab(&wet)}, {Name: "dried deep, no skin", Lab: colour.D65.Lab(&dry)}}
	return c
}

func reflectanceChart() *ReflectanceChart {
	c := &ReflectanceChart{Heading: Heading{"Lantern gold, reflectance", "demo · on tan skin, even light, gloss included", "14 March 2026", "modelled"}}
	add := func(name string, w film.Worn) {
		l, err := film.Predict(w)
		if err != nil {
			panic(err)
		}
		c.Curves = append(c.Curves, Curve{name, l.Reflectance})
	}
	add("bare skin", wornOn("tan", 0, 10, nil))
	for _, k := range film.Coverages {
		add(k.Name+", "+amount(k.MgPerCM2)+" mg/cm²", wornOn("tan", k.MgPerCM2, k.SigmaDeg, goldPearl))
	}
	target := c.Curves[2].Reflectance
	for i := range target {
		target[i] *= 1.03
	}
	c.Curves = append(c.Curves, Curve{"target", target})
	return c
}

func planeChart() *PlaneChart {
	c := &PlaneChart{Heading: Heading{"Where lantern gold lies", "demo · on tan skin, smoothed on", "14 March 2026", "modelled"}}
	c.Skin.Lab, _ = look(wornOn("tan", 0, 10, nil), nil)
	c.Blend = &Patch{Name: "lantern gold"}
	c.Blend.Lab, _ = look(wornOn("tan", 1, 10, goldPearl), nil)
	c.Target = &Patch{Lab: c.Blend.Lab}
	c.Target.Lab.A += 0.9
	c.Target.Lab.B += 0.7
	for _, m := range []mix{{{"bright gold", 5}}, {{"amber gold", 5}}, {{"copper", 5}}, {{"rose gleam", 5}}, {{"violet gleam", 5}}, {{"blue gleam", 5}}, {{"green gleam", 5}}} {
		l, _ := look(wornOn("tan", 1, 10, m), nil)
		c.Reachable = append(c.Reachable, l)
	}
	full, _ := look(wornOn("tan", 2, 6, goldPearl), nil)
	c.Others = []Patch{{Name: "laid on full", Lab: full}}
	return c
}

func loadChart() *LoadChart {
	c := &LoadChart{Heading: Heading{"Lantern gold against load", "demo · on light skin, smoothed on", "14 March 2026", "modelled"}, Chosen: 5}
	c.Skin = &Patch{Name: "bare skin"}
	c.Skin.Lab, _ = look(wornOn("light", 0, 10, nil), nil)
	for load := 0.5; load <= 12; load += 0.5 {
		l, _ := look(wornOn("light", 1, 10, mix{{"bright gold", load * 0.7}, {"champagne", load * 0.3}}), nil)
		c.Points = append(c.Points, LoadPoint{load, l})
	}
	c.Target = &Patch{Name: "target", Lab: c.Points[9].Lab}
	return c
}
