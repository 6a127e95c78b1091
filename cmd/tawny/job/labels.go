package job

import (
	"context"
	"io"

	"tawny/blend/batch"
)

var labelsJob = &Job{
	Name:  "labels",
	Short: "Print a batch's labels, front and back, on sheets of them",
	Long: `Writes labels.pdf: a front and a back for every container of the batch, on sheets of
self-adhesive labels, in the form of the European Union or the United States. The
batch is asked for as with tawny batch. Where a bought mixture's shares are guessed
the back says so, to be settled before anything is sold. Print one sheet on plain
paper first and hold it against the labels. Without --out the text is shown.`,
	Example: "  tawny labels --skin tan --part 'pale gold=2' --containers 8 --ml 100 --title 'Evening gold' --sheet a4 --per 14 --out out\n  tawny labels --demo --containers 8 --ml 100 --market us",
	New: func() Task {
		q := &labelsRequest{paper: "a4", market: "eu", per: 14}
		in := &q.in
		return asking(q.run, in.matchGroups(in.benchGroup(), Group{Title: "Labels", Fields: []Field{
			partField(&in.Parts),
			titleField(&in.Title, "name of the blend"),
			{Name: "sheet", Words: "paper of the label sheet: a4 or letter", Choices: []string{"a4", "letter"}, To: &q.paper},
			{Name: "per", Words: "labels on a sheet (default 14; A4 has 8, 14, 21 and 24, Letter 6, 10 and 30)", Low: 1, High: 100, To: &q.per},
			{Name: "market", Words: "whose rules: eu or us (default eu)", Choices: []string{"eu", "us"}, To: &q.market},
			outField(&q.out),
		}})...)
	},
}

// labelsRequest is a batch and the sheet its labels go on.
type labelsRequest struct {
	sheetRequest
	paper, market string
	per           int
}

func (q *labelsRequest) run(ctx context.Context, env *Env) (Result, error) {
	on, err := batch.LabelSheetOf(q.paper == "letter", q.per)
	if err != nil {
		return nil, faultf("per", "is %d: %v", q.per, err)
	}
	_, b, err := q.made(ctx, env)
	if err != nil {
		return nil, err
	}
	label := b.Label.Markets()[0]
	if q.market == "us" {
		label = b.Label.Markets()[1]
	}
	r := &LabelsResult{Market: label.Name, Count: b.Filling.Filled, LabelText: label.Text, Findings: b.Findings}
	if !env.Sends {
		return r, nil
	}
	return r, env.deliver("labels.pdf", func(w io.Writer) error { return input(batch.LabelsPDF(w, b, label, on)) })
}

// LabelsResult is the text of a batch's labels.
type LabelsResult struct {
	Market string `json:"market"`
	Count  int    `json:"count"` // of containers; 0 not said
	batch.LabelText
	Findings []batch.Finding `json:"findings,omitempty"` // of the batch
}

// Show writes the text.
func (r *LabelsResult) Show(s *Screen) {
	s.line("%s   %s   (%s)", r.Product, r.Net, r.Market)
	s.fold("", r.Ingredients)
	for _, list := range [][]string{r.Cautions, r.Lines} {
		for _, l := range list {
			s.fold("", l)
		}
	}
	if len(r.Guessed) > 0 {
		s.line("Shares guessed, so check their places: %s", choices(r.Guessed))
	}
	s.notes(r.Notes)
	s.toMend(r.Findings)
}
