package mend

import (
	"math"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
)

// An exact recipe stays as it is, and one that cannot be brought back moves no
// powder past half or twice.
func TestBringBack(t *testing.T) {
	light, err := skin.Find("light")
	if err != nil {
		t.Fatal(err)
	}
	w := film.Worn{Ground: film.Ground{Reflectance: light.Reflectance}, Apply: 1}
	for name, percent := range map[string]float64{"pale gold": 2, "bronze": 1, "red oxide": 0.05} {
		g, err := drawer(t).Find(name)
		if err != nil {
			t.Fatal(err)
		}
		w.Parts = append(w.Parts, film.Part{Pigment: g, Percent: percent})
	}
	look, err := film.Predict(w)
	if err != nil {
		t.Fatal(err)
	}
	same, err := BringBack(w, look.Lab, []int{0, 1, 2})
	if err != nil {
		t.Fatal(err)
	}
	far, err := BringBack(w, colour.Lab{L: 20, A: 60, B: -40}, []int{0, 1, 2})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range w.Parts {
		if math.Abs(same[i].Percent-p.Percent) > 1e-9 {
			t.Errorf("%s went from %g to %g", p.Pigment.Name, p.Percent, same[i].Percent)
		}
		if f := far[i].Percent / p.Percent; f < 0.5-1e-9 || f > 2+1e-9 {
			t.Errorf("%s went to %g times", p.Pigment.Name, f)
		}
	}
}
