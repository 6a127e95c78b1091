package rules

import (
	_ "embed"
	"slices"
	"sync"
)

//go:embed barred.csv
var barredFile []byte

// Barred is a substance that no leave-on body product may hold, however little.
type Barred struct {
	INCI   string
	Entry  string // annex and number
	Reason string

	also []string
	keys []string // INCI and also, as they are compared
}

// Source cites the entry.
func (b *Barred) Source() string {
	return "Annex " + b.Entry + ", Regulation (EC) No 1223/2009"
}

var barred = sync.OnceValue(func() (out []*Barred) {
	t := open(barredFile, "barred.csv", "inci,entry,also,reason")
	for t.next() {
		b := &Barred{INCI: t.text(0), Entry: t.text(1), also: t.words(2), Reason: t.text(3)}
		b.keys = keys(b.INCI, b.also)
		out = append(out, b)
	}
	return out
})

// BarredOf returns why a name may not be in a leave-on product, nil where no row
// of the few best known bars it.
func BarredOf(name string) *Barred {
	k := key(name)
	for _, b := range barred() {
		if slices.Contains(b.keys, k) {
			return b
		}
	}
	return nil
}
