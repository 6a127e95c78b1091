package rules

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed preservatives.csv
var preservativeFile []byte

// Preservative is one row of Annex V with what makers know of it.
type Preservative struct {
	INCI         string
	Entry        string  // reference number in Annex V
	LimitPercent float64 // % w/w of a leave-on body product, as AcidFactor has it; 0: not allowed in one
	AcidFactor   float64 // acid per substance, by mass; 1 where the limit is not as acid
	PHLow        float64
	PHHigh       float64 // above this it does little (common practice)
	LeastPercent float64 // usual minimum, % w/w of the product (common practice)
	WeakAgainst  string  // common practice
	Spray        bool    // allowed in sprays
	Lips         bool    // allowed in lip products
	Condition    string
}

// MaxPercent is the most of the substance itself, % w/w of a leave-on product.
func (p *Preservative) MaxPercent() float64 { return p.LimitPercent / p.AcidFactor }

// Source cites the entry.
func (p *Preservative) Source() string {
	return "Annex V entry " + p.Entry + ", Regulation (EC) No 1223/2009"
}

var preservatives = sync.OnceValue(func() map[string]*Preservative {
	out := map[string]*Preservative{}
	t := open(preservativeFile, "preservatives.csv", "inci,entry,limit_percent,acid_factor,ph_low,ph_high,usual_least_percent,weak_against,spray,lips,condition")
	for t.next() {
		p := &Preservative{INCI: t.text(0), Entry: t.text(1), LimitPercent: t.number(2), AcidFactor: t.number(3), PHLow: t.number(4),
			PHHigh: t.number(5), LeastPercent: t.number(6), WeakAgainst: t.text(7), Spray: t.yes(8), Lips: t.yes(9), Condition: t.text(10)}
		out[key(p.INCI)] = p
	}
	return out
})

// PreservativeOf returns the Annex V row of an INCI name, nil if it has none.
func PreservativeOf(inci string) *Preservative { return preservatives()[key(inci)] }

func key(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

// keys are those of a name and of what else it is called.
func keys(name string, also []string) []string {
	out := []string{key(name)}
	for _, n := range also {
		out = append(out, key(n))
	}
	return out
}
