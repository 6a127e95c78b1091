package job

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
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
// lines are what goes in. The weight of the batch is what was read of it, or
// follows from its pots.
func (q *BookWeigh) bench(a *book.Batch, lines []batch.Made) (sheet json.RawMessage, says []string, err error) {
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
	if len(q.Readings) == 0 {
		return nil, append(says, b.Reckon(lines, false)...), nil
	}
	if len(b.Steps) == 0 {
		return nil, nil, faultf("reading", "is written on a batch's sheet, and batch %d has none in the book", a.ID)
	}
	b.Judge(lines)
	was := map[*batch.Reading]batch.Reading{}
	for _, r := range b.Readings() {
		was[r.Reading] = *r.Reading
	}
	potsAnew := false
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
		if err := q.meanwhile(name, what, was[r].Value, cmp.Or(r.Value, "nothing"), ""); err != nil {
			return nil, nil, err
		}
		potsAnew = potsAnew || slices.Contains([]batch.What{batch.IsEmptyPot, batch.IsPotAndAll}, r.Is)
	}
	says = append(says, b.Reckon(lines, potsAnew && q.MadeG == 0)...)
	b.Judge(lines)
	var slips []string
	for _, r := range b.Readings() {
		before := was[r.Reading]
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
	if len(slips) > 0 && !q.Yes {
		return nil, nil, faultf("yes", "writes %s; nothing is written yet", strings.Join(slips, ", and "))
	}
	if q.MadeG == 0 {
		q.MadeG, _ = b.Read(batch.IsMade)
	}
	sheet, err = json.Marshal(&b)
	return sheet, says, err
}
