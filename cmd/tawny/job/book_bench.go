package job

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch"
)

// What is read at the bench, such as a temperature, is written into the blanks of the
// sheet that the book keeps with a batch.

// sheetIn is the sheet kept with a batch, the zero Batch where there is none.
func sheetIn(document json.RawMessage) (b batch.Batch) {
	if json.Unmarshal(document, &b) != nil {
		return batch.Batch{}
	}
	return b
}

// bench writes what was read into the sheet and returns it, nil where nothing was read;
// lines are what goes in, of it late grams now. The weight of the batch is what was read
// of it, or follows from its pots, or from what it was without what came late.
func (q *BookWeigh) bench(was *BookWeighed, lines []batch.Made, late float64) (sheet json.RawMessage, says []string, err error) {
	a := was.Batch
	if a == nil {
		if len(q.Readings) > 0 {
			err = faultf("reading", "is for a batch's sheet; a correction has none")
		}
		return nil, nil, err
	}
	b := sheetIn(a.Document)
	for _, r := range b.Readings() {
		if r.Is == batch.IsMade && r.Value != "" && q.Made != nil && *q.Made == 0 {
			q.Readings = append(q.Readings, fmt.Sprintf("%d %s=none", r.Step.Number, r.What))
		}
	}
	if q.MadeG > 0 && len(b.Steps) > 0 {
		says = []string{b.Weighs(q.MadeG, lines)}
	}
	if len(q.Readings) > 0 && len(b.Steps) == 0 {
		return nil, nil, faultf("reading", "is written on a batch's sheet, and batch %d has none in the book", a.ID)
	}
	b.Judge(lines)
	old := map[*batch.Reading]batch.Reading{}
	for _, r := range b.Readings() {
		old[r.Reading] = *r.Reading
	}
	potsAnew, said := false, q.Made != nil
	thought, _ := b.Read(batch.IsMade)
	for _, item := range q.Readings {
		name, value, ok := strings.Cut(item, "=")
		if !ok {
			return nil, nil, faultf("reading", "is %q; what the sheet asks and what was read are accepted, such as 'pH=5.4'", item)
		}
		_, r, err := b.Blank(name)
		if err != nil {
			return nil, nil, of("reading", input(err))
		}
		if r.Value = strings.TrimSpace(value); r.Value == "none" {
			r.Value = ""
		}
		if x, is := r.Number(); is {
			r.Value = trimNumber(x)
		} else if r.Value != "" && (strings.HasPrefix(r.What, "pH") || r.Asked != nil || r.Unit == "g" || r.Unit == "°C") { // others follow from it
			return nil, nil, faultf("reading", "is %q, and a number is accepted for what the sheet asks there: %s", item, r.What)
		}
		what, _, _ := strings.Cut(r.What, ",")
		if err := q.meanwhile(name, what, old[r].Value, cmp.Or(r.Value, "nothing"), ""); err != nil {
			return nil, nil, err
		}
		potsAnew = potsAnew || slices.Contains([]batch.What{batch.IsEmptyPot, batch.IsPotAndAll}, r.Is)
	}
	says = append(says, b.Reckon(lines, potsAnew && !said)...)
	_, empty := b.Read(batch.IsEmptyPot)
	if _, full := b.Read(batch.IsPotAndAll); potsAnew && empty && full {
		thought = 0 // though it is the same again
	}
	if now, read := b.Read(batch.IsMade); read && now != thought && !said {
		q.MadeG = now
	} else if late > 0 && was.made != nil && !said {
		says = append(says, q.countOn(was, &b, lines, late))
	}
	if len(b.Steps) == 0 || len(q.Readings) == 0 && q.MadeG == 0 {
		return nil, says, nil
	}
	b.Judge(lines)
	var slips []string
	for _, r := range b.Readings() {
		before := old[r.Reading]
		switch {
		case r.Is != batch.IsPH:
		case r.Value == "":
			r.Before = ""
		case r.Off == "" && before.Off != "":
			r.Before = before.Value // until something was put in
		}
		if r.Off != "" && r.Value != "" && (r.Value != before.Value || r.Off != before.Off) {
			what, _, _ := strings.Cut(r.What, ",")
			slips = append(slips, fmt.Sprintf("%s for %s where %s is asked (step %d, %s)", r.Value, what, r.Off, r.Step.Number, r.Step.Title))
		}
	}
	if len(slips) > 0 && len(q.Readings) > 0 && !q.Yes {
		return nil, nil, faultf("yes", "writes %s; nothing is written yet", strings.Join(slips, ", and "))
	}
	sheet, err = json.Marshal(&b)
	return sheet, says, err
}

// countOn counts what came late onto the weight that the finished batch had, where it was
// not in that by what went in, and says so.
func (q *BookWeigh) countOn(was *BookWeighed, b *batch.Batch, lines []batch.Made, late float64) string {
	show := func(g float64) string { return grams(g, was.balance()) }
	in, _, _ := batch.WentIn(lines)
	with := exact(*was.made + late)
	if was.mending != nil || batch.Lost(in, with, was.balance()) < 0 {
		return fmt.Sprintf("It is taken to weigh %s g as before, with what is weighed now, %s g, in that. If it was not in yet, weigh the pot again.", show(*was.made), show(late))
	}
	q.MadeG = with
	return b.Weighs(with, lines) + fmt.Sprintf(" That is the %s g it weighed and what is weighed now, %s g. If that was in already, weigh the pot again.", show(*was.made), show(late))
}
