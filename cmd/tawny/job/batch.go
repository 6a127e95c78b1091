package job

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/canvas"
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
for you to read why. Where there is a book, the powders come from the lots that a
batch written now would take, with their strengths. With --batch it is the sheet that
the book has of a batch, with what was weighed beside the plan and what was read at the
bench in its blanks.

A price list is a CSV file: a line "# currency: EUR", the header ` + batch.PricesHeader + `, then
rows: an ingredient or powder per g, kg, ml or l; container, closure, label or
overhead per each; labour per hour.`,
	Example: "  tawny batch --skin tan --part 'pale gold=2' --part bronze=1 --grams 500 --balance 0.1\n  tawny batch --demo --containers 8 --ml 30 --format pdf --out bench\n  tawny batch --no-powder --grams 75\n  tawny batch --batch 3",
	New: func() Task {
		q := &sheetRequest{}
		in := &q.in
		return in.asking(q.run, in.matchGroups(in.benchGroup(), Group{Title: "Sheet", Fields: []Field{
			{Name: "batch", Words: "a batch's number or code in the book, instead of what asks for one", Lists: "batch", To: &q.batch},
			partField(&in.Parts),
			titleField(&in.Title, "name of the blend"),
			formatField(&q.format),
			{Name: "no-powder", Words: "the base alone, such as what a batch is mended with", Not: rule{"part": "and {part} are both given; one is accepted"}, To: &q.bare},
			{Name: "letter", Words: "US Letter paper for a PDF, instead of A4", To: &q.letter},
			outField(""),
		}})...)
	},
}

// sheetRequest is a blend, stated or matched, and the sheet wanted of it.
type sheetRequest struct {
	in     Input
	batch  string // its number or code in the book; blank for one that is asked for
	format string
	letter bool
	bare   bool // the base alone
}

// made is the blend and its batch, and what is told of its lots.
func (q *sheetRequest) made(ctx context.Context, env *Env, in Input) (r *BlendResult, b *batch.Batch, notes []string, err error) {
	if q.bare {
		r, b, err = in.baseAlone()
		return r, b, nil, err
	}
	in.weighOnly = len(in.Parts) > 0
	if r, _, err = in.blended(ctx, env.Progress); err != nil {
		return nil, nil, nil, err
	}
	return env.planned(ctx, r)
}

// planned is a blend and its batch as the book would write them, from its lots.
func (e *Env) planned(ctx context.Context, r *BlendResult) (now *BlendResult, b *batch.Batch, notes []string, err error) {
	now = r
	if in := &r.setting.in; in.env != nil && !in.demo {
		err = e.Book.ifThere(ctx, func(b *book.Book) (err error) {
			now, _, notes, err = r.fromLots(ctx, b, map[string]string{})
			return err
		})
	}
	if err != nil { // a plan needs no book
		now, notes = r, []string{fmt.Sprintf("Which lots it takes is not known: %v.", err)}
	}
	if b, err = now.Batch(); err == nil {
		b.Notes = append(b.Notes, notes...)
	}
	return now, b, notes, err
}

// toWeigh is a blend as planned has it, with which lots that takes told.
func (e *Env) toWeigh(ctx context.Context, r *BlendResult) (*BlendResult, error) {
	now, _, notes, err := e.planned(ctx, r)
	for _, note := range notes {
		e.warn(strings.TrimSuffix(note, "."))
	}
	return now, err
}

// baseAlone is a batch of the base, without powders.
func (in Input) baseAlone() (*BlendResult, *batch.Batch, error) {
	in.weighOnly, in.Skin = true, ""
	s, err := in.open()
	if err != nil {
		return nil, nil, err
	}
	r := &BlendResult{Wearing: s.wearing(nil, 0, 0)}
	r.Title = orElse(r.Title, "Base alone")
	b, err := r.Batch()
	return r, b, err
}

// kept is the sheet that the book has of a batch, with what was weighed and added.
func (q *sheetRequest) kept(ctx context.Context, env *Env) (*batch.Batch, error) {
	if err := env.knownOf("a batch in the book", env.doc.Task.Groups, "batch", "format", "letter", "out"); err != nil {
		return nil, err
	}
	var b batch.Batch
	return &b, env.Book.read(ctx, func(k *book.Book) error {
		made, err := standsOf(ctx, k, q.batch)
		if err != nil {
			return err
		}
		env.of = book.File{ClientID: made.Batch.ClientID, BatchID: made.Batch.ID}
		if b = sheetIn(made.Batch.Document); len(b.Steps) == 0 {
			return inputf("batch %d has no sheet in the book: it was written without one, or its client was left out of an export", made.Batch.ID)
		}
		made.on(&b)
		r, of, _, err := env.scaledAsMade(made, Input{}, false)
		if err == nil {
			b.Label, b.Findings, b.BestBefore = of.Label, of.Findings, of.BestBefore
			b.AsMade = append(b.AsMade, of.Kind.StirIn(made.toStirIn(r.Blend.parts))...)
			return nil
		}
		b.Findings = append(made.held(env.today()), b.Findings...)
		if _, read := b.Read(batch.IsPH); read || len(b.AsMade) > 0 {
			b.Label = nil
			b.AsMade = append(b.AsMade, fmt.Sprintf("Its label is left out, for it is of the plan and of what was weighed cannot be made: %v.", err))
		}
		return nil
	})
}

// on says on a batch's sheet what the book has of its making, where that is not the plan.
func (s *standing) on(b *batch.Batch) {
	of := &s.Batch
	b.Code, b.Date = orElse(b.Code, fmt.Sprint(of.ID)), of.MadeOn // its labels are of that code
	made := of.MadeG
	for _, c := range s.corrections {
		made = cmp.Or(c.AfterG, made)
	}
	if made != nil {
		b.Weighs(*made, nil)
	}
	for i, w := range of.Weights[:min(len(of.Weights), len(b.Weighings))] {
		if w.WeighedG != nil {
			b.Weighings[i].WeighedG, b.Weighings[i].Lot = w.WeighedG, w.Lot
		}
	}
	for _, w := range of.Weights[min(len(of.Weights), len(b.Weighings)):] {
		if w.Grams() > 0 { // not taken back
			b.AsMade = append(b.AsMade, fmt.Sprintf("Put in beside its lines: %s g of %s.", grams(w.Grams(), b.BalanceG), w.Name))
		}
	}
	missing, mended := unweighed(of.Weights), len(s.corrections) > 0
	if len(missing) == len(of.Weights) && !mended {
		return
	}
	if len(missing) > 0 {
		b.AsMade = append(b.AsMade, fmt.Sprintf("Not weighed yet: %s.", strings.Join(missing, ", ")))
	}
	for i := range s.corrections {
		b.AsMade = append(b.AsMade, mendedWords(&s.corrections[i], b.BalanceG))
	}
	if mended || batch.Lost(of.PlannedG, s.grams, b.BalanceG) != 0 || slices.ContainsFunc(of.Weights, func(w book.Weight) bool { return w.Grams() != w.PlannedG }) {
		b.AsMade = append(b.AsMade, s.words(b))
	}
}

// mendedWords says what a correction added.
func mendedWords(c *book.Correction, balance float64) string {
	added := listed(c.Weights, "; ", func(w book.Weight) string {
		return fmt.Sprintf("%s g of %s%s", grams(w.Grams(), balance), w.Name, around(", lot ", w.Lot, ""))
	})
	return fmt.Sprintf("Mended by correction %d (%s): %s added.", c.ID, orElse(c.MadeOn, "not weighed yet"), added)
}

// toStirIn are, of the powders in it, those that a mending is still to bring.
func (s *standing) toStirIn(parts []film.Part) (list []*palette.Pigment) {
	for _, p := range parts {
		of := func(w book.Weight) bool { return w.WeighedG == nil && strings.EqualFold(w.Name, p.Pigment.Name) }
		if slices.ContainsFunc(s.corrections, func(c book.Correction) bool { return slices.ContainsFunc(c.Weights, of) }) {
			list = append(list, p.Pigment)
		}
	}
	return list
}

// words say what the batch of a sheet weighs and fills as it stands.
func (s *standing) words(b *batch.Batch) string {
	n := b.Fills(s.grams)
	fills := when(n > 0 && len(s.corrections) > 0, " and fills "+plural(n, "container"))
	return fmt.Sprintf("As it stands it is %s g", grams(s.grams, b.BalanceG)) + fills + ". The label is of that; what is predicted, the shares, filling and cost on this sheet are of the plan."
}

func (q *sheetRequest) run(ctx context.Context, env *Env, in Input) (Result, error) {
	if q.format == "pdf" && !env.Sends {
		return nil, faultf("format", "is pdf, which goes to a file; give {out}")
	}
	var r *BlendResult
	var b *batch.Batch
	var card *swatches.Card
	var err error
	if q.batch != "" {
		b, err = q.kept(ctx, env)
	} else {
		r, b, _, err = q.made(ctx, env, in)
	}
	if err != nil {
		return nil, err
	}
	if r != nil && !r.setting.weighOnly {
		if card, err = r.Card(CardOptions{Shimmer: true, Seed: 1}); err != nil {
			return nil, err
		}
	}
	write := func(w io.Writer) error { return WriteSheet(w, b, q.format, card, q.letter) }
	if env.Sends {
		return &SheetResult{Batch: b}, env.deliver("sheet."+sheetEndings[q.format], write)
	}
	return &SheetResult{Batch: b, write: write}, nil
}

// SheetFormats lists how a batch sheet can be written.
var SheetFormats = []string{"text", "markdown", "html", "pdf"}

// sheetEndings are the file endings of SheetFormats.
var sheetEndings = map[string]string{"text": "txt", "markdown": "md", "html": "html", "pdf": "pdf"}

// WriteSheet writes a batch sheet in a format. HTML and PDF carry the arm of the
// swatch card, where there is one: bare skin to full.
func WriteSheet(w io.Writer, b *batch.Batch, format string, card *swatches.Card, letter bool) error {
	switch format {
	case "text":
		return batch.Text(w, b)
	case "markdown":
		return batch.Markdown(w, b)
	}
	var swatch *canvas.Raster
	if card != nil {
		var err error
		if swatch, err = swatches.Raster(swatches.Arm{Card: card}, swatches.Paper{WidthMM: 60, HeightMM: 40, DPI: 300}); err != nil {
			return input(err)
		}
	}
	if format == "html" {
		return batch.HTML(w, b, swatch)
	}
	return batch.PDF(w, b, swatch, letter)
}

// SheetResult is a batch, told by its sheet.
type SheetResult struct {
	*batch.Batch
	write func(io.Writer) error
}

// Show writes the sheet, or of one that went to a file what is to be mended first.
func (r *SheetResult) Show(s *Screen) {
	if r.write != nil {
		s.with(r.write)
		return
	}
	s.toMend(r.Findings)
}

// batchOf scales a blend into the setting's base, its powders rounded to the nearest
// step of the balance, or where that is to be seen, as costs the look least.
func (s *setting) batchOf(title string, v *BlendView, t *target) (*batch.Batch, error) {
	r, err := s.batchRequest(title, v)
	if err != nil {
		return nil, err
	}
	r.Look = &batch.Look{ApplyMgCm2: s.apply} // for how often a container can be worn
	b, err := batch.Scale(r)
	if err != nil {
		return nil, input(err)
	}
	if len(v.parts) == 0 {
		return b, nil
	}
	if !s.weighOnly {
		if r.Look, err = s.lookWeighed(v, t, b, nil); err != nil {
			return nil, err
		}
		// Matched, and the nearest steps are too coarse: of those about each weight, what suits the target.
		if v.Rank > 0 && r.Look.MovedDeltaE00 > littleDeltaE {
			if r.PowderGrams, err = s.roundedParts(v, t, b.TotalG); err != nil {
				return nil, err
			}
			if r.Look, err = s.lookWeighed(v, t, b, r.PowderGrams); err != nil {
				return nil, err
			}
		}
		// Once more, saying what the weights on the sheet make.
		if b, err = batch.Scale(r); err != nil {
			return nil, input(err)
		}
		b.Notes = append(b.Notes, fmt.Sprintf("Weighed to %g g the shade moves by ΔE00 %.2f (%s).", s.balance(), r.Look.MovedDeltaE00, colour.DifferenceWords(r.Look.MovedDeltaE00, v.Lab.L))+
			when(r.Look.MovedDeltaE00 >= littleDeltaE, " A larger batch or a finer balance would keep it closer."))
	}
	b.Notes = append(b.Notes, s.notes...)
	return b, nil
}

// roundedParts finds the grams, in whole steps of the balance, for a matched blend: each
// powder at most a step beyond the two it lies between, and of those the ones
// nearest the target.
func (s *setting) roundedParts(v *BlendView, t *target, batchGrams float64) ([]float64, error) {
	q, err := s.request(t)
	if err != nil {
		return nil, err
	}
	q.LoadLo, q.LoadHi = v.LoadPercent, v.LoadPercent
	q.Choice = search.Choice{Limits: map[string]search.Limit{}}
	step := 100 * s.balance() / batchGrams // % of the product
	for _, p := range v.parts {
		n := p.Percent / step
		q.Choice.Limits[p.Pigment.Name] = search.Limit{
			AtLeast: step * math.Max(math.Min(1, math.Round(n)), math.Floor(n)-1),
			AtMost:  step * (math.Ceil(n) + 1),
		}
	}
	grams, err := search.Round(q, v.parts, batchGrams, s.balance())
	return grams, input(err)
}

// lookWeighed predicts what the weights of a sheet make: grams of each part,
// or the batch's own where nil.
func (s *setting) lookWeighed(v *BlendView, t *target, b *batch.Batch, grams []float64) (*batch.Look, error) {
	own := weighed(b)
	var parts []film.Part
	for i, p := range v.parts {
		g := own[p.Pigment.Name]
		if grams != nil {
			g = grams[i]
		}
		parts = append(parts, film.Part{Pigment: p.Pigment, Percent: 100 * g / b.TotalG})
	}
	made, err := film.Predict(s.worn(parts, s.apply, s.tilt))
	if err != nil {
		return nil, input(err)
	}
	look := &batch.Look{
		Skin: s.skin.Name, ApplyMgCm2: s.apply, Source: v.Source, Lab: fmt.Sprintf("L* %.1f a* %.1f b* %.1f", made.Lab.L, made.Lab.A, made.Lab.B),
		MovedDeltaE00: colour.DeltaE00(made.Lab, v.Lab),
	}
	if t != nil {
		look.Target, look.DeltaE00 = t.view.Words, colour.DeltaE00(made.Lab, t.view.Lab)
	}
	return look, nil
}

// littleDeltaE is the cost of weighing that a batch should stay under: half of
// what is hardly visible (a convention of this tool).
const littleDeltaE = 0.2

// smallestNote says from what size on the balance is fine enough for a blend, "" of a
// batch that is twice that or more.
func (s *setting) smallestNote(v *BlendView, t *target, batchGrams float64) (string, error) {
	q, err := s.request(t)
	if err != nil {
		return "", err
	}
	q.LoadLo, q.LoadHi, q.Choice = v.LoadPercent, v.LoadPercent, search.Choice{}
	from, err := search.FineFrom(q, v.parts, s.balance(), littleDeltaE)
	if err != nil {
		return "", input(err)
	}
	if batchGrams >= 2*from {
		return "", nil
	}
	return fmt.Sprintf("On this balance a batch of %.3g g or more keeps what weighing costs under ΔE00 %g.", from, littleDeltaE), nil
}

func (s *setting) batchRequest(title string, v *BlendView) (batch.Request, error) {
	balance, err := batch.NewBalance(s.balance())
	if err != nil {
		return batch.Request{}, input(err)
	}
	r := batch.Request{
		Base: s.base, PH: s.in.ph, PHWas: s.in.phWas, Held: s.in.held, Open: s.in.notWeighed, Balance: balance, Title: title, Date: s.in.lent().today(),
		Area: s.area(),
	}
	if s.in.Containers > 0 {
		r.Containers, r.ContainerML = s.in.Containers, s.in.ML
	} else {
		r.Grams = s.batchGrams()
	}
	if s.drawer != nil {
		r.Drawer = s.drawer.Pigments
	}
	for _, p := range v.parts {
		r.Parts = append(r.Parts, batch.Part{Pigment: p.Pigment, Percent: p.Percent})
	}
	return r, s.in.Bench.apply(&r)
}

// What a batch for containers allows beyond their nominal content: common
// practice for hand filling.
const (
	DefaultOverfill = 1.0 // %
	DefaultLoss     = 4.0 // %, left on pans and spatulas
)

// weighed returns each powder's grams in a batch.
func weighed(b *batch.Batch) map[string]float64 {
	grams := map[string]float64{}
	for _, w := range b.Weighings {
		if w.Phase == batch.PhasePowder {
			grams[w.Name] = w.Grams
		}
	}
	return grams
}
