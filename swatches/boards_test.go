package swatches

import (
	"fmt"

	"tawny/blend/film"
	"tawny/colour"
)

// loadsBoard is one blend at rising loads.
func loadsBoard() *Board {
	b := &Board{Title: "Lantern gold by load", Note: "demo · smoothed on, 1 mg/cm² of product", Date: "14 March 2026", Source: "modelled",
		Remarks: []string{"Load is all powders, % w/w of the finished product."}}
	r := BoardRow{Name: "light skin"}
	r.Skin.Lab, r.Skin.Film = look(wornOn("light", 0, 10, nil), nil)
	for _, load := range []float64{1, 2, 4, 8} {
		m := mix{{"bright gold", load * 0.7}, {"champagne", load * 0.3}}
		var l Look
		l.Lab, l.Film = look(wornOn("light", 1, 10, m), nil)
		b.Columns = append(b.Columns, amount(load)+" %")
		r.Looks = append(r.Looks, l)
	}
	b.Rows = []BoardRow{r}
	return b
}

func coveragesBoard() *Board {
	b := &Board{Title: "Ember bronze by coverage", Note: "demo · 5 % of powders", Date: "14 March 2026", Source: "modelled"}
	r := BoardRow{Name: "brown skin"}
	r.Skin.Lab, r.Skin.Film = look(wornOn("brown", 0, 10, nil), nil)
	for _, c := range film.Coverages {
		var l Look
		l.Lab, l.Film = look(wornOn("brown", c.MgPerCM2, c.SigmaDeg, bronzeSpark), nil)
		l.Words = []string{colour.TurnWords(r.Skin.Lab, l.Lab)}
		b.Columns = append(b.Columns, fmt.Sprintf("%s, %s mg/cm²", c.Name, amount(c.MgPerCM2)))
		r.Looks = append(r.Looks, l)
	}
	b.Rows = []BoardRow{r}
	return b
}

func gridBoard() *Board {
	b := &Board{Title: "Three looks on four skins", Note: "demo · smoothed on, 1 mg/cm² of product", Date: "14 March 2026", Source: "modelled",
		Columns: []string{"lantern gold", "ember bronze", "rose satin"},
		Remarks: []string{"Skins are presets standing in for readings; the deepest is extrapolated."}}
	for _, tone := range []string{"very light", "intermediate", "brown", "dark"} {
		r := BoardRow{Name: tone}
		r.Skin.Lab, r.Skin.Film = look(wornOn(tone, 0, 10, nil), nil)
		for _, m := range []mix{goldPearl, bronzeSpark, roseSatin} {
			var l Look
			l.Lab, l.Film = look(wornOn(tone, 1, 10, m), nil)
			l.Words = []string{colour.TurnWords(r.Skin.Lab, l.Lab)}
			r.Looks = append(r.Looks, l)
		}
		b.Rows = append(b.Rows, r)
	}
	return b
}

func flat(b *Board) *Board {
	for i := range b.Rows {
		b.Rows[i].Skin.Film = nil
		for k := range b.Rows[i].Looks {
			b.Rows[i].Looks[k].Film = nil
		}
	}
	return b
}

func lightsBoard() *Board {
	b := &Board{Title: "Lantern gold, day and stage", Note: "demo · for Łucja, second act", Date: "14 March 2026", Source: "modelled"}
	for _, v := range []*colour.Viewing{colour.D65, stageView()} {
		r := BoardRow{Name: map[bool]string{true: "daylight", false: "stage"}[v == colour.D65], Viewing: v}
		r.Skin.Lab, r.Skin.Film = look(wornOn("tan", 0, 10, nil), v)
		for _, c := range film.Coverages {
			var l Look
			l.Lab, l.Film = look(wornOn("tan", c.MgPerCM2, c.SigmaDeg, goldPearl), v)
			if v == colour.D65 {
				b.Columns = append(b.Columns, fmt.Sprintf("%s, %s mg/cm²", c.Name, amount(c.MgPerCM2)))
			}
			r.Looks = append(r.Looks, l)
		}
		r.Target = &Patch{Lab: r.Looks[1].Lab}
		b.Rows = append(b.Rows, r)
	}
	return b
}
