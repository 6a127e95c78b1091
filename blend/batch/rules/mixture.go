package rules

import (
	_ "embed"
	"slices"
	"strings"
	"sync"

	"tawny/blend/palette"
)

//go:embed mixtures.csv
var mixtureFile []byte

// Mixture is several substances sold under one name.
type Mixture struct {
	Name      string
	INCI      string // name=percent joined by ;
	Phase     string
	Roles     []string
	AddBelowC float64 // °C; 0: none

	also []string
	Subs []palette.Ingredient // with their usual shares
}

// Of is what a name says is in the mixture, as an INCI list: where the name tells the
// substances, those, and the usual shares follow; else all of it is a guess, marked ~.
func (m *Mixture) Of(name string) string {
	var told []string
	for _, s := range m.Subs {
		if s.INCI != "Aqua" && !strings.Contains(key(name), key(s.INCI)) {
			return strings.ReplaceAll(m.INCI, "=", "~")
		}
		told = append(told, s.INCI)
	}
	return strings.Join(told, ";")
}

var mixtures = sync.OnceValue(func() []*Mixture {
	t := open(mixtureFile, "mixtures.csv", "name,inci,phase,roles,add_below_c,also")
	var out []*Mixture
	for t.next() {
		m := &Mixture{Name: t.text(0), INCI: t.text(1), Phase: t.text(2), Roles: t.words(3), AddBelowC: t.number(4), also: t.words(5)}
		var err error
		if m.Subs, err = palette.ParseINCI(m.INCI); err != nil {
			panic(t.f.Fault(t.f.Rows[t.row], 1, err.Error(), ""))
		}
		for i := range m.Subs {
			m.Subs[i].Estimated = true
		}
		out = append(out, m)
	}
	return out
})

// SoldAs is the mixture of these substances, in any order, nil where no such one
// is known.
func SoldAs(of []palette.Ingredient) *Mixture {
	for _, m := range mixtures() {
		if len(m.Subs) == len(of) && !slices.ContainsFunc(of, func(s palette.Ingredient) bool {
			return !slices.ContainsFunc(m.Subs, func(x palette.Ingredient) bool { return key(x.INCI) == key(s.INCI) })
		}) {
			return m
		}
	}
	return nil
}

// Named finds what makers call by a name: an ingredient or a mixture, nil for
// what is not known.
func Named(name string) (*Ingredient, *Mixture) {
	k := key(name)
	for _, m := range mixtures() {
		if key(m.Name) == k || slices.ContainsFunc(m.also, func(n string) bool { return key(n) == k }) {
			return nil, m
		}
	}
	t := ingredients()
	if in := t.byName[k]; in != nil {
		return in, nil
	}
	return t.byINCI[k], nil
}

// Names lists every name Named knows, for saying which is nearest to a slip.
func Names() []string {
	var out []string
	for _, m := range mixtures() {
		out = append(append(out, m.Name), m.also...)
	}
	t := ingredients()
	for _, by := range []map[string]*Ingredient{t.byINCI, t.byName} {
		for n := range by {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out
}
