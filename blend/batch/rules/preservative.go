package rules

import (
	"bytes"
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"tawny/blend/batch/table"
)

//go:embed preservatives.csv
var preservativeFile []byte

// Preservative is one row of Annex V with what makers know of it.
type Preservative struct {
	INCI         string
	Entry        string  // reference number in Annex V
	LimitPercent float64 // % w/w of a leave-on product, as AcidFactor has it
	AcidFactor   float64 // acid per substance, by mass; 1 where the limit is not as acid
	PHLow        float64
	PHHigh       float64 // above this it does little (common practice)
	LeastPercent float64 // usual minimum, % w/w of the product (common practice)
	WeakAgainst  string  // common practice
	Condition    string
}

// MaxPercent is the most of the substance itself, % w/w of a leave-on product.
func (p *Preservative) MaxPercent() float64 { return p.LimitPercent / p.AcidFactor }

// Source cites the entry.
func (p *Preservative) Source() string {
	return "Annex V entry " + p.Entry + ", Regulation (EC) No 1223/2009"
}

var preservatives = sync.OnceValues(func() (map[string]*Preservative, error) {
	header := strings.Split("inci,entry,limit_percent,acid_factor,ph_low,ph_high,usual_least_percent,weak_against,condition", ",")
	f, err := table.Read(bytes.NewReader(preservativeFile), "preservatives.csv", header)
	if err != nil {
		return nil, err
	}
	out := map[string]*Preservative{}
	for _, r := range f.Rows {
		p := &Preservative{INCI: r.Fields[0], Entry: r.Fields[1], WeakAgainst: r.Fields[7], Condition: r.Fields[8]}
		for i, dst := range []*float64{&p.LimitPercent, &p.AcidFactor, &p.PHLow, &p.PHHigh, &p.LeastPercent} {
			if *dst, err = table.Number(r.Fields[2+i], 0, 100); err != nil {
				return nil, f.Fault(r, 2+i, err.Error(), "a number from 0 to 100")
			}
		}
		if p.AcidFactor <= 0 {
			return nil, f.Fault(r, 3, "no acid factor", "over 0 up to 1")
		}
		out[strings.ToLower(p.INCI)] = p
	}
	return out, nil
})

// PreservativeOf returns the Annex V row of an INCI name, nil if it has none.
func PreservativeOf(inci string) *Preservative {
	m, err := preservatives()
	if err != nil {
		// The embedded table is part of the build and is read in the tests.
		panic(fmt.Sprintf("rules: %v", err))
	}
	return m[strings.ToLower(strings.TrimSpace(inci))]
}
