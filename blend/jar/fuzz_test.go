package jar

import (
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// Whatever a label says, what is read of it can be written into a drawer and read
// back.
func FuzzParse(f *testing.F) {
	for _, c := range [][2]string{
		{"Mica 59,4 %, Titanium Dioxide 40,6 %", ""}, {"INCI: Mica (CI 77019), Titanium Dioxide (CI 77891)", "77491"},
		{"Mica (and) TiO2 [+/- CI 77491]", ""}, {"Mica/Tin Oxide; Silica 60-70 %", "CI 77891, 77861"}, {"a=b~c", "red"}, {"(\r(", ""},
	} {
		f.Add(c[0], c[1])
	}
	drawer, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		f.Fatal(err)
	}
	gold, err := drawer.Find("pale gold")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, inci, ci string) {
		l, err := Parse(inci, ci)
		if err != nil {
			return
		}
		var texts []string
		for _, in := range l.Shares(gold) {
			texts = append(texts, in.String())
		}
		text := strings.Join(texts, ";")
		back, err := palette.ParseINCI(text)
		if err != nil {
			t.Fatalf("%q, %q is written %q, which is not read: %v", inci, ci, text, err)
		}
		if len(back) != len(l.INCI) {
			t.Fatalf("%q, %q is written %q, and read as %v", inci, ci, text, back)
		}
	})
}
