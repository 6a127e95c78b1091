package drawdown

import (
	"cmp"
	"fmt"
	"strings"

	"tawny/blend/palette"
	"tawny/colour/table"
)

// Change is what a new lot does otherwise than the powder on record.
type Change struct {
	Shift
	Fitted bool // the new lot is from its own films, else the old lot's data brought to them

	before, now palette.Optics // before is the one on record, brought to films of the old lot if there are any
}

// ChangeOfLot compares films of a new lot with the powder on record, in the film
// that predicts it. beside are films of the old lot drawn down with it, if any:
// what the data on record are off by that day then falls out.
func ChangeOfLot(onRecord *palette.Optics, fresh, beside []Reading) (*Change, error) {
	c := &Change{before: *onRecord}
	if len(beside) > 0 {
		s, err := CompareLot(onRecord, beside)
		if err == nil {
			c.before, err = Bandwise(onRecord, s.Strength, beside)
		}
		if err != nil {
			return nil, fmt.Errorf("the old lot: %w", err)
		}
	}
	s, err := CompareLot(&c.before, fresh)
	if err != nil {
		return nil, err
	}
	c.Shift = *s
	// K and S from its own films where they tell both apart and the fit holds.
	if len(fresh) > 1 {
		if f, err := FitPowder(fresh, &c.before); err == nil && f.Verdict != DoesNotHold {
			c.now, c.Fitted = f.Powder, len(beside) == 0
			return c, nil
		}
	}
	c.now, err = Bandwise(&c.before, s.Strength, fresh)
	return c, err
}

// Of returns the powder on record as the new lot has it: its own data, or those in
// another binder, by the ratio of the two lots.
func (c *Change) Of(onRecord palette.Optics) palette.Optics {
	for j, s := range c.before.S {
		onRecord.K[j] = byRatio(onRecord.K[j], c.before.K[j], c.now.K[j], s)
		onRecord.S[j] = byRatio(onRecord.S[j], s, c.now.S[j], s)
	}
	onRecord.FaceArea *= c.Strength
	return onRecord
}

// byRatio is x by the ratio of now to before, and now where before is the
// rounding of nothing beside what the powder scatters.
func byRatio(x, before, now, scattered float64) float64 {
	if before <= 1e-6*scattered {
		return now
	}
	return x * now / before
}

// Split parts the films of the new lot from those of the old, which a column lot
// tells: the old lot's own name, or old.
func (d *File) Split(readings []Reading, old string) (fresh, beside []Reading, err error) {
	for i, f := range d.Films {
		if strings.EqualFold(f.Lot, "old") || old != "" && strings.EqualFold(f.Lot, old) {
			beside = append(beside, readings[i])
			continue
		}
		if f.Lot != "" && d.Keys["lot"] == "" {
			d.Keys["lot"] = f.Lot
		}
		if f.Lot != "" && !strings.EqualFold(f.Lot, d.Keys["lot"]) && !strings.EqualFold(f.Lot, "new") {
			return nil, nil, fmt.Errorf("%s:%d: lot %q is neither the new one, %s, nor the old one, %s", d.Name, f.Line, table.Clip(f.Lot), cmp.Or(d.Keys["lot"], "new"), cmp.Or(old, "old"))
		}
		fresh = append(fresh, readings[i])
	}
	if len(fresh) == 0 {
		return nil, nil, fmt.Errorf("%s has films of the old lot only", d.Name)
	}
	return fresh, beside, nil
}
