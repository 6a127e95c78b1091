package job

import (
	"context"
	"io"

	"tawny/blend/batch"
	"tawny/swatches"
)

var batchJob = &Job{
	Name:  "batch",
	Short: "Write the batch sheet of a blend, to weigh and make it from",
	Long: `Scales a blend into a base: every weight a whole number of the balance's steps
and their sum exactly the batch, the steps in working order, the cautions where
they belong, label text and a stability log. The blend is given with --part, or
matched first; with --part the skin may be left out. With --out the sheet goes
to a file there, else to the screen. A sheet with a STOP on it is still written,
for you to read why.

A price list is a CSV file: a line "# currency: EUR", the header ` + batch.PricesHeader + `, then
rows: an ingredient or powder per g, kg, ml or l; container, closure, label or
overhead per each; labour per hour.`,
	Example: "  tawny batch --skin tan --part 'pale gold=2' --part bronze=1 --grams 500 --balance 0.1\n  tawny batch --demo --containers 8 --ml 30 --format pdf --out bench",
	New: func() Task {
		q := &sheetRequest{}
		in := &q.in
		out := outField(&q.out)
		return asking(q.run, in.matchGroups(in.benchGroup(), Group{"Sheet", []Field{
			partField(&in.Parts),
			titleField(&in.Title),
			formatField(&q.format),
			{Name: "letter", Words: "US Letter paper for a PDF, instead of A4", To: &q.letter},
			out,
		}})...)
	},
}

// sheetRequest is a blend, stated or matched, and the sheet wanted of it.
type sheetRequest struct {
	in     Input
	format string
	letter bool
	out    string
}

func (q *sheetRequest) run(ctx context.Context, env *Env) (Result, error) {
	in, err := q.in.ready(env)
	if err != nil {
		return nil, err
	}
	if q.format == "pdf" && !env.Sends {
		return nil, faultf("format", "is pdf, which goes to a file; give {out}")
	}
	in.weighOnly = len(in.Parts) > 0
	r, _, err := in.blended(ctx, env.Progress)
	if err != nil {
		return nil, err
	}
	b, err := r.Batch()
	if err != nil {
		return nil, err
	}
	var card *swatches.Card
	if !r.setting.weighOnly {
		if card, err = r.Card(CardOptions{}); err != nil {
			return nil, err
		}
	}
	write := func(w io.Writer) error { return WriteSheet(w, b, q.format, card, q.letter) }
	if env.Sends {
		return &SheetResult{Batch: b}, env.deliver("sheet."+sheetEndings[q.format], write)
	}
	return &SheetResult{Batch: b, write: write}, nil
}

// SheetResult is a batch, told by its sheet.
type SheetResult struct {
	*batch.Batch
	write func(io.Writer) error
}

// Show writes the sheet, where it did not go to a file.
func (r *SheetResult) Show(s *Screen) {
	if r.write != nil {
		s.with(r.write)
	}
}
