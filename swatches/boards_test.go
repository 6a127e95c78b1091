package swatches

import (
	"fmt"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
)

// loadsBoard is one blend at rising loads.
func loadsBoard() *Board {
	b := &Board{Heading: Heading{Title: "Lantern gold by load", Note: "demo · smoothed on, 1 mg/cm² of product", Date: "14 March 2026", Source: "modelled"},
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
	b := &Board{Heading: Heading{Title: "Ember bronze by coverage", Note: "demo · 5 % of powders", Date: "14 March 2026", Source: "modelled"}}
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
	b := &Board{Heading: Heading{Title: "Three looks on four skins", Note: "demo · smoothed on, 1 mg/cm² of product", Date: "14 March 2026", Source: "modelled"},
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
	b := &Board{Heading: Heading{Title: "Lantern gold, day and stage", Note: "demo · for Łucja, second act", Date: "14 March 2026", Source: "modelled"}}
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

// skinsBoard is the longest board the commands draw: a blend of its own, with
// long names, for each of six skins.
func skinsBoard() *Board {
	b := &Board{Heading: Heading{Title: "On several skins", Note: "demo", Date: "14 March 2026", Source: "modelled"}, Columns: []string{"sheer 0.5 mg/cm²", "smoothed 1 mg/cm²", "full 2 mg/cm²"}}
	for i, name := range []string{"very light", "light", "intermediate", "tan", "brown", "dark"} {
		level := 0.6 - 0.1*float64(i)
		l := 75 - 8*float64(i)
		r := BoardRow{Name: name, Target: &Patch{Name: "1 lighter, 4 stronger", Lab: colour.Lab{L: l + 1, A: 9, B: 20}}}
		r.Skin = Patch{Lab: colour.Lab{L: l, A: 10, B: 15}, Film: plainFilm(level, 0, 10, 1)}
		for k := range b.Columns {
			r.Looks = append(r.Looks, Look{Lab: colour.Lab{L: l + float64(k), A: 9, B: 18}, Film: plainFilm(level, 0.1+0.2*float64(k), 10, 30)})
		}
		r.Words = []string{
			fmt.Sprintf("Deepest antique bronze over rutile 2.4%d %% (4.81 g) + Champagne satin, extra fine, spring delivery 1.10 %% (2.20 g) + Honey gold 0.49 %% (0.98 g) = load 4 %%", i),
			fmt.Sprintf("smoothed: warmer than the skin by %d°; shimmer pearl, about 2 200 glints per cm²", i+2),
		}
		b.Rows = append(b.Rows, r)
		b.Remarks = append(b.Remarks, name+": a remark about this skin that is long enough to need a second line of the footer, as they do.")
	}
	return b
}

// weighedBoard is a strip of loads with the longest table and shimmer words.
func weighedBoard() *Board {
	b := loadsBoard()
	blend := crowdedCard().Blend
	b.Blend = &blend
	b.Remarks = append(b.Remarks, "Worn at 1 mg/cm² (smoothed); weights are for 98 %, and the powders keep their shares at every load.")
	for i := range b.Rows[0].Looks {
		b.Rows[0].Looks[i].Sparkle = Sparkle{Word: "sparkle", PerCM2: 45210}
		b.Rows[0].Looks[i].Words = []string{"warmer by 12°"}
	}
	b.Rows[0].Target = &Patch{Name: "1 lighter, 4 stronger, 5° warmer", Lab: b.Rows[0].Looks[1].Lab}
	return b
}

// Everything on a board is on the picture, whole: remarks, each row's own
// blend, and every powder's weight.
func TestBoardsAreWhole(t *testing.T) {
	plain := func(s string) string { return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u00a0", " ")), " ") }
	for name, b := range map[string]*Board{"skins": skinsBoard(), "weighed": weighedBoard(), "loads": loadsBoard(), "grid": gridBoard()} {
		for _, p := range []Paper{Upright, Wide} {
			paper := b.Paper(p)
			if paper.WidthMM != p.WidthMM || paper.HeightMM < p.HeightMM || paper.HeightMM > longestBoard {
				t.Errorf("%s: drawn on %g × %g mm", name, paper.WidthMM, paper.HeightMM)
			}
			if paper.HeightMM > p.HeightMM && b.fits(paper.WidthMM, paper.HeightMM-3) {
				t.Errorf("%s: %g mm is longer than it needs", name, paper.HeightMM)
			}
			r := record(t, name, b, paper, 2)
			said := plain(r.said())
			if strings.Contains(said, "…") {
				t.Errorf("%s: something was cut: %s", name, said)
			}
			for _, s := range b.Remarks {
				if !strings.Contains(said, plain(s)) {
					t.Errorf("%s: the remark %q is not whole", name, s)
				}
			}
			for i := range b.Rows {
				for _, s := range b.Rows[i].Words {
					if !strings.Contains(said, plain(s)) {
						t.Errorf("%s: %q is not whole", name, s)
					}
				}
			}
			if b.Blend != nil {
				for _, p := range b.Blend.Parts {
					if w := strings.Fields(p.Powder)[0]; !strings.Contains(said, w[:min(9, len(w))]) || !strings.Contains(said, "12250.25 g") {
						t.Errorf("%s: %s or its weight is not on the board", name, p.Powder)
					}
				}
				for _, want := range []string{"45 000", "glints/cm²", "warmer by 12°", "Top band: target, 1 lighter"} {
					if !strings.Contains(said, want) {
						t.Errorf("%s: does not say %q", name, want)
					}
				}
			}
			for _, pic := range r.images {
				if pic.H < 5 {
					t.Errorf("%s: a picture is %.1f mm high", name, pic.H)
				}
			}
			for _, line := range r.fills { // a rule, which no words touch
				if line.H > 0.3 {
					continue
				}
				for _, x := range r.texts {
					if x.box.Y < line.Y && line.Y-x.box.Bottom() < 0.5 && x.box.X < line.Right() && line.X < x.box.Right() {
						t.Errorf("%s: %q stands on the rule under it", name, x.s)
					}
				}
			}
		}
	}
}

func TestBoardRefusesABlendThatDoesNotFit(t *testing.T) {
	b := weighedBoard()
	b.Blend.Parts = make([]Part, MaxParts+1)
	if err := b.Check(); err == nil || !strings.Contains(err.Error(), "13 powders") {
		t.Errorf("a blend of 13 powders gives %v", err)
	}
}

func BenchmarkBoardPaper(b *testing.B) {
	b.ReportAllocs()
	s := skinsBoard()
	for b.Loop() {
		s.Paper(Upright)
	}
}
