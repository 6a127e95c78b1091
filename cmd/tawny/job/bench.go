package job

import (
	"bytes"
	"path/filepath"
	"regexp"

	"tawny/blend/batch"
	"tawny/colour/table"
)

var month = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])(-\d{2})?$`)

// runsOut notes a lot's last day, and reports whether it is before the one there was.
func (k *Bench) runsOut(day string) (sooner bool) {
	was := k.LotUntil
	if month.MatchString(was) {
		was = (was + "-31")[:10] // of a month the last
	}
	if day != "" && (was == "" || day < was) {
		k.LotUntil = day
	}
	return was != "" && day != "" && day < was
}

// Bench is what a batch sheet needs beyond the blend and the base.
type Bench struct {
	Code       string   // batch code; blank leaves a line
	Filler     string   // ingredient that gives way to the powders
	Closure    string   // instead of the usual
	Overfill   *float64 // of the nominal content; nil is DefaultOverfill
	Loss       *float64 // of the batch; nil is DefaultLoss
	Samples    *float64 // containers to keep over and above those to sell; nil keeps one of them
	LotUntil   string   // day the first of the lots to run out is good until
	NozzleUM   float64  // a mist's smallest passage, µm
	Scent      string   // "name=percent of the product"
	ScentLimit float64
	Allergens  []string // "linalool=percent of the scent"
	Prices     string   // price list, CSV
	Margin     float64  // of the selling price
	Labour     float64
}

// apply puts the bench's wishes into a batch request.
func (k Bench) apply(r *batch.Request) error {
	overfill, loss := valueOr(k.Overfill, DefaultOverfill), valueOr(k.Loss, DefaultLoss)
	r.Code, r.Filler, r.Closure, r.NozzleUM = k.Code, k.Filler, k.Closure, k.NozzleUM
	if r.Containers > 0 {
		r.OverfillPercent, r.LossPercent = overfill, loss
	}
	if r.LotUntil = k.LotUntil; k.LotUntil != "" && !month.MatchString(k.LotUntil) {
		return faultf("lot-until", "is %q; a month or a day such as 2027-03 or 2027-03-31 is accepted", k.LotUntil)
	}
	if s := k.Samples; s != nil {
		n := int(*s)
		if float64(n) != *s || r.Containers == 0 {
			return faultf("samples", "is %g; a whole number is accepted, with {containers} and {ml}", *s)
		}
		r.Samples = &n
	}
	if k.Scent == "" {
		return nil
	}
	name, percent, err := amount(k.Scent, percents)
	if err != nil {
		return err
	}
	r.Scent = &batch.Scent{Name: name, Percent: percent, MaxPercent: k.ScentLimit}
	for _, a := range k.Allergens {
		name, percent, err := amount(a, percents)
		if err != nil {
			return err
		}
		r.Scent.Allergens = append(r.Scent.Allergens, batch.Allergen{INCI: name, Percent: percent})
	}
	return input(r.Scent.Check())
}

// valueOr is the value given, 0 included, or the default where none is.
func valueOr(given *float64, usual float64) float64 {
	if given == nil {
		return usual
	}
	return *given
}

// price adds the cost to a batch where there is a price list.
func (k Bench) price(env *Env, b *batch.Batch) error {
	if k.Prices == "" {
		return nil
	}
	data, err := env.read(k.Prices, table.MaxBytes)
	if err != nil {
		return err
	}
	p, err := batch.ReadPrices(bytes.NewReader(data), filepath.Base(k.Prices))
	if err != nil {
		return input(err)
	}
	return input(b.AddCost(batch.Costing{Prices: p, MarginPercent: k.Margin, LabourHours: k.Labour}))
}
