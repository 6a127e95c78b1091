package job

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/film"
)

var labelsJob = &Job{
	Name:  "labels",
	Short: "Print a batch's labels, front and back, on sheets of them",
	Long: `Writes labels.pdf: a front and a back for every container of the batch, on sheets of
self-adhesive labels, in the form of the European Union or the United States. The
batch is one of the book, as it stands with its weights, lots and mendings, or is
asked for as with tawny batch. Where a bought mixture's shares are guessed and a
place in the list hangs on them, where only a trade name tells what is in it, where the
number of a jar's iron oxides is assumed or that a jar is fit for eyes or lips, where
something of a batch begun is not weighed, or where a check found what is to be mended
or could not check something of the list, such as a scent's allergens, the back says
DRAFT and of what. 'tawny drawer edit' writes what a jar's supplier says. To settle a
guess of shares, write those of the supplier's sheet into the base: in the inci column
of its CSV file, as 'Cetearyl Olivate=60;Sorbitan Olivate=40' with the sheet's figures
('tawny base show NAME --csv' writes one of a built-in base), or in brackets in its
recipe. A powder's stand in the inci column of its drawer. A batch of the book bears its
own code, else its number; 'tawny book edit batch 3 --code SG-12' writes one. Print one
sheet on plain paper first and hold it against the labels. Without --out the text is
shown.`,
	Example: "  tawny labels --skin tan --part 'pale gold=2' --containers 8 --ml 100 --title 'Evening gold' --sheet a4 --per 14 --out out\n  tawny labels --demo --containers 8 --ml 100 --market us\n  tawny labels --batch 3 --out out",
	New: func() Task {
		q := &labelsRequest{paper: "a4", market: "eu", per: 14}
		in := &q.in
		return in.asking(q.run, in.matchGroups(in.benchGroup(), Group{Title: "Labels", Fields: []Field{
			{Name: "batch", Words: "a batch's number or code in the book, instead of what asks for one; title, market and containers may be given anew", Lists: "batch", To: &q.batch},
			partField(&in.Parts),
			titleField(&in.Title, "name of the blend"),
			{Name: "sheet", Words: "paper of the label sheet: a4 or letter", Choices: []string{"a4", "letter"}, To: &q.paper},
			{Name: "per", Words: "labels on a sheet (default 14; A4 has 8, 14, 21 and 24, Letter 6, 10 and 30)", Low: 1, High: 100, To: &q.per},
			{Name: "market", Words: "whose rules: eu or us (default eu)", Choices: []string{"eu", "us"}, To: &q.market},
			outField(""),
		}})...)
	},
}

// labelsRequest is a batch and the sheet its labels go on.
type labelsRequest struct {
	sheetRequest
	paper, market string
	per           int
}

func (q *labelsRequest) run(ctx context.Context, env *Env, in Input) (Result, error) {
	on, err := batch.LabelSheetOf(q.paper == "letter", q.per)
	if err != nil {
		return nil, faultf("per", "is %d: %v", q.per, err)
	}
	var of *BlendResult
	var b *batch.Batch
	var notes []string
	if q.batch == "" {
		of, b, notes, err = q.made(ctx, env, in)
	} else if err = env.knownOf("a batch in the book", env.doc.Task.Groups, "batch", "code", "containers", "ml", "title", "sheet", "per", "market", "out"); err == nil {
		of, b, notes, err = env.batchAsMade(ctx, q.batch, in, false)
	}
	if err != nil {
		return nil, err
	}
	b.Title = of.Title // where nobody named it the label says what it is: a client's name is not for goods
	label := b.Label.Markets()[0]
	if q.market == "us" {
		label = b.Label.Markets()[1]
	}
	r := &LabelsResult{Market: label.Name, Count: b.Filling.Filled, LabelText: label.Text, Findings: b.Findings}
	r.Notes = append(notes, r.Notes...)
	if !env.Sends {
		return r, nil
	}
	return r, env.deliver("labels.pdf", func(w io.Writer) error { return input(batch.LabelsPDF(w, b, label, on)) })
}

// knownOf refuses fields that are given although they are known, all of some groups
// but those excepted.
func (e *Env) knownOf(what string, groups []Group, but ...string) error {
	for _, g := range groups {
		for _, f := range g.Fields {
			if e.given(f.Name) && !slices.Contains(but, f.Name) {
				return faultf(f.Name, "is known of %s; leave it or {batch} out", what)
			}
		}
	}
	return nil
}

// batchAsMade is a batch of the book as it stands: what was weighed and added to it, the
// day it was made and the first of its lots to run out; where it is looked at worn, on the
// skin it was made for. A title, containers and the skin may be given anew.
func (e *Env) batchAsMade(ctx context.Context, number string, now Input, worn bool) (r *BlendResult, out *batch.Batch, notes []string, err error) {
	return r, out, notes, e.Book.read(ctx, func(b *book.Book) error {
		made, err := standsOf(ctx, b, number)
		if err != nil {
			return err
		}
		id := made.Batch.ID
		e.of = book.File{ClientID: made.Batch.ClientID, BatchID: id}
		r, out, notes, err = e.scaledAsMade(made, now, worn)
		return err
	})
}

// scaledAsMade is batchAsMade of one that was read.
func (e *Env) scaledAsMade(made *standing, now Input, worn bool) (r *BlendResult, out *batch.Batch, notes []string, err error) {
	id := made.Batch.ID
	asked, err := e.askedThen(made, Input{Containers: now.Containers, ML: now.ML, Skin: now.Skin})
	if err != nil {
		return nil, nil, nil, err
	}
	if worn {
		if notes, err = made.wornBy(&asked, now.Skin != ""); err != nil {
			return nil, nil, nil, err
		}
	} else {
		asked.Skin, asked.weighOnly = "", true
	}
	for _, lot := range made.lots {
		asked.Bench.runsOut(lot.ExpiresOn)
	}
	asked.held = made.held(e.today())
	notes = slices.Concat(notes, made.notes)
	if day, err := time.Parse(time.DateOnly, made.Batch.MadeOn); err == nil {
		asked.env.Now = func() time.Time { return day }
		asked.notWeighed = made.open
	} else {
		notes = append(notes, fmt.Sprintf("Batch %d is planned and not made: its best-before is from today.", id))
	}
	asked.Bench.Code = cmp.Or(asked.Bench.Code, fmt.Sprint(id))
	if code := now.Bench.Code; code != "" && !strings.EqualFold(code, asked.Bench.Code) {
		return nil, nil, nil, faultf("code", "is %s, and batch %d bears %s, by which a recall finds it: 'tawny book edit batch %d --code %s' writes another, and its labels and sheet have it", code, id, asked.Bench.Code, id, quoteIfSpaced(code))
	}
	sheet := sheetIn(made.Batch.Document)
	if made.Batch.Name != sheet.Title { // it was named since
		asked.Title = made.Batch.Name
	}
	asked.Title = cmp.Or(now.Title, asked.Title)
	asked.ph, _ = sheet.Read(batch.IsPH)
	for _, r := range sheet.Readings() {
		asked.phWas = cmp.Or(r.Before, asked.phWas)
	}
	asked.Parts, asked.Rank = made.shares(), 0
	asked.made = made
	if len(asked.Parts) == 0 { // no powder was weighed
		r, out, err = asked.baseAlone()
	} else if r, err = made.blend(asked.Input); err == nil {
		out, err = r.Batch()
	}
	if err != nil {
		return nil, nil, nil, err
	}
	if n := out.Fills(made.grams); len(made.corrections) > 0 && now.Containers == 0 && n > out.Filling.Filled {
		notes = append(notes, fmt.Sprintf("As mended the batch is %s g and fills %s, where %d were planned: there is a label for each.", grams(made.grams, out.BalanceG), plural(n, "container"), out.Filling.Filled))
		out.Filling.Filled = n
	}
	return r, out, notes, nil
}

// blend is the blend that is in the batch, each powder as strong as the lot it is from.
func (s *standing) blend(asked Input) (*BlendResult, error) {
	return asked.blendOf(func(parts []film.Part) {
		for i, p := range parts { // in the order of its powders
			if l := s.lotOf(s.has[i]); l != nil {
				parts[i].Pigment = fromLot(p.Pigment, l)
			}
		}
	})
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
	s.fold("", r.Cautions...)
	s.fold("", r.Lines...)
	for _, d := range r.Draft {
		s.fold("", "DRAFT: "+d)
	}
	s.notes(r.Notes)
	s.toMend(r.Findings)
}
