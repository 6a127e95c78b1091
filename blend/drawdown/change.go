package drawdown

import (
	"cmp"
	"fmt"
	"strings"

	"tawny/colour/table"
)

// Change is what a new lot does otherwise than the powder on record.
type Change struct {
	Shift
	Now    Powder // the new lot
	Fitted bool   // from its own films, else the old lot's data brought to them
}

// ChangeOfLot compares films of a new lot with the powder on record. beside are
// films of the old lot drawn down with it, if any: what the data on record are
// off by that day then falls out.
func ChangeOfLot(onRecord Powder, fresh, beside []Reading, flake bool) (*Change, error) {
	before := onRecord
	if len(beside) > 0 {
		var err error
		if before, err = broughtTo(onRecord, beside, flake); err != nil {
			return nil, fmt.Errorf("the old lot: %w", err)
		}
	}
	s, err := CompareLot(before, fresh, Options{Flake: flake})
	if err != nil {
		return nil, err
	}
	c := &Change{Shift: *s}
	if c.Now, c.Fitted, err = newLot(before, s, fresh, flake); err != nil {
		return nil, err
	}
	if len(beside) > 0 {
		c.Now, c.Fitted = transferred(onRecord, before, c.Now), false
	}
	return c, nil
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

// broughtTo is a powder brought to films of it, strength first and then band by
// band.
func broughtTo(p Powder, readings []Reading, flake bool) (Powder, error) {
	s, err := CompareLot(p, readings, Options{Flake: flake})
	if err != nil {
		return p, err
	}
	return Bandwise(p, s.Strength, readings)
}

// transferred puts the ratio of two lots as drawn on the data on record.
func transferred(onRecord, old, now Powder) Powder {
	for j := range onRecord.K {
		if old.K[j] > 0 {
			onRecord.K[j] *= now.K[j] / old.K[j]
		}
		if old.S[j] > 0 {
			onRecord.S[j] *= now.S[j] / old.S[j]
		}
	}
	return onRecord
}

// newLot returns the new lot's K and S: from its own films where they tell both
// apart and the fit holds, else the old lot's brought to the films.
func newLot(old Powder, s *Shift, readings []Reading, flake bool) (p Powder, fitted bool, err error) {
	if len(readings) > 1 {
		if f, err := FitPowder(readings, Options{Flake: flake}); err == nil && f.Verdict != DoesNotHold {
			return f.Powder, true, nil
		}
	}
	p, err = Bandwise(old, s.Strength, readings)
	return p, false, err
}
