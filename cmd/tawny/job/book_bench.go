package job

import (
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
// the weight of the batch is what was read of it, or follows from its pots.
func (q *BookWeigh) bench(a *book.Batch) (sheet json.RawMessage, says []string, err error) {
	if len(q.Readings) == 0 {
		return nil, nil, nil
	}
	if a == nil {
		return nil, nil, faultf("reading", "is for a batch's sheet; a correction has none")
	}
	b := sheetIn(a.Document)
	if len(b.Steps) == 0 {
		return nil, nil, faultf("reading", "is written on a batch's sheet, and batch %d has none in the book", a.ID)
	}
	potsAnew := false
	for _, item := range q.Readings {
		name, value, ok := strings.Cut(item, "=")
		if !ok {
			return nil, nil, faultf("reading", "is %q; what the sheet asks and what was read are accepted, such as 'pH=5.4'", item)
		}
		step, r, err := b.Blank(name)
		if err != nil {
			return nil, nil, of("reading", input(err))
		}
		was := r.Value
		what, _, _ := strings.Cut(r.What, ",")
		if r.Value = strings.TrimSpace(value); r.Value == "none" {
			r.Value = ""
		}
		if x, is := r.Number(); is {
			r.Value = trimNumber(x)
		}
		if asked := r.Off(); asked != "" && r.Value != was && !q.Yes {
			return nil, nil, faultf("yes", "writes %s for %s where %s is asked (step %d, %s): put it right first; nothing is written yet", r.Value, what, asked, step.Number, step.Title)
		}
		if asked := r.Off(); asked != "" {
			says = append(says, fmt.Sprintf("%s is %s, where %s is asked.", what, r.Value, asked))
		}
		potsAnew = potsAnew || slices.Contains([]batch.What{batch.IsEmptyPot, batch.IsPotAndAll}, r.Is)
	}
	says = append(says, b.Reckon(potsAnew)...)
	if q.MadeG == 0 {
		q.MadeG, _ = b.Read(batch.IsMade)
	}
	sheet, err = json.Marshal(&b)
	return sheet, says, err
}
