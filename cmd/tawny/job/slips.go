package job

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"tawny/blend/batch"
	"tawny/blend/book"
)

// What looks like a slip of the pen is asked about, and written with a second yes.

// lotApart is how many times as much or as little as its data a lot may colour before
// it is asked about: lots of a powder differ by a tenth or so (common practice), and a
// percent typed for a factor lies far outside.
const lotApart = 2.0

// strengthSlip asks about a lot's strength that no lot has.
func strengthSlip(x float64) error {
	if x == 0 || x <= lotApart && x >= 1/lotApart {
		return nil
	}
	percent := when(x > 10, ", and "+strconv.FormatFloat(x, 'g', 4, 64)+" % is "+strconv.FormatFloat(x/100, 'g', 4, 64))
	return faultf("strength", "is %g: it would colour %.3g times as much for its weight as the drawer's data. 1 is the same%s; nothing is written. With {yes} it is", x, x, percent)
}

// ahead asks about a day still to come of what has been done.
func (e *Env) ahead(field, day string) error {
	if _, err := time.Parse(time.DateOnly, day); err != nil || day <= e.today() {
		return nil // what is no day, the book refuses
	}
	return faultf(field, "is %s, a day still to come, and today is %s: is that right? Nothing is written; with {yes} it is", day, e.today())
}

// goodUntil is a lot's last day, in a month its last as bags have it, and asks about
// one that is past, but where that is sure.
func (e *Env) goodUntil(text string, sure bool) (string, error) {
	for _, month := range []string{"2006-01", "1/2006", "1.2006"} {
		if first, err := time.Parse(month, text); err == nil {
			text = first.AddDate(0, 1, -1).Format(time.DateOnly)
		}
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil && text != "" {
		return "", faultf("expires", "is %q; a day or a month such as 2027-03-31, 2027-03 or 03/2027 is accepted", text)
	}
	if text != "" && text < e.today() && !sure {
		return "", inputf("it was good until %s, which is past: is that right? With {yes} the lot is written, and the sheet of a batch of it says STOP", text)
	}
	return text, nil
}

// countSlip asks about more of a lot counted than ever came of it; bags are overfilled
// by a few percent (common practice).
func countSlip(l book.LotStock, left float64) error {
	if most := math.Max(l.BoughtG, l.LeftG+l.UsedG); left > 1.05*most {
		return faultf("yes", "writes %.6g g left of lot %s, of which %.6g g came and %.6g g was used; a bag bought since is a lot of its own, or {why} bought of 'tawny book move'. Nothing is written yet", left, l.Lot, most, l.UsedG)
	}
	return nil
}

// outSlip asks about grams out of a lot that had only so much left, the overfill of a bag
// aside.
func outSlip(l book.LotStock, grams, left float64) error {
	if grams <= left+0.05*l.BoughtG {
		return nil
	}
	return faultf("yes", "takes %.6g g of lot %s of %s, of which %.6g g is left; 'tawny book count' puts what is left right. Nothing is written yet", grams, l.Lot, l.PowderName, math.Max(0, left))
}

// madeSlip asks about a finished batch heavier than what went into it, by over ten steps
// of the balance and half a per cent, for the pot with it goes on a coarser one, or under
// two thirds of it: water dries off, and some stays in the pan, but not so much; of an
// oil, that nothing dries off, under seven eighths (our own choices). before is what a correction was added to.
func madeSlip(madeG, before float64, lines []batch.Made, sheet *batch.Batch) error {
	in, open, openG := batch.WentIn(lines)
	in += before
	least := in / 1.5
	if sheet.Kind == batch.Oil || sheet.Kind == batch.Mist {
		least = 7 * in / 8
	}
	if madeG == 0 || madeG <= in+max(10*cmp.Or(sheet.BalanceG, 0.01), 0.005*in) && madeG >= least {
		return nil
	}
	left := when(len(open) > 0, fmt.Sprintf(", without %s, %.2f g as planned, not weighed yet", strings.Join(open, ", "), openG))
	return faultf("yes", "writes %.2f g made, and %.2f g went into it%s; nothing is written yet", madeG, in, left)
}

// goneIn are the lines of a batch with what is weighed now.
func goneIn(planned []book.Weight, now []book.Weighing) (lines []batch.Made) {
	for _, w := range planned {
		line := batch.Made{Name: w.Name, PlannedG: w.PlannedG, WeighedG: w.WeighedG, Powder: w.Role == "powder"}
		for _, g := range now {
			if g.Position == w.Position {
				line.WeighedG = g.WeighedG
			}
		}
		lines = append(lines, line)
	}
	return lines
}
