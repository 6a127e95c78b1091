package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

var bookMendRecordJob = &Job{
	Name:  "book mend-record",
	Args:  "BATCH",
	Short: "Write down a correction of a batch",
	Long: `Writes what a made batch was read as and what is added to bring it back to its
shade. Read on skin, the colour is compared with the blend's target. The
additions are planned until they are weighed: with --weighed they are on the
balance already.`,
	Example: `  tawny book mend-record 3 --measured lab:66,12,21 --add 'pale gold=0.3'
  tawny book mend-record 3 --how 'by eye' --add bronze=0.2 --weighed --after 98.8`,
	New: func() Task {
		q := &BookCorrection{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Correct(ctx, *q) },
			batchArg(&q.BatchText), Group{Title: "Correction", Fields: []Field{
				{Name: "measured", Words: "the batch's colour as it is", To: &q.Colour},
				{Name: "how", Words: "instrument, photo, by eye or typed (default by the colour)", Lists: "how", To: &q.How},
				{Name: "seen", Words: "on what: skin, jar, drawdown, powder or card (default skin)", Lists: "seen", To: &q.Seen},
				{Name: "add", Words: "a powder added: 'bronze=0.2' (grams); repeatable", Lists: "powder=", To: &q.Add},
				{Name: "lot", Words: "the lot it is weighed from: 'bronze=B-9'; repeatable", To: &q.Lots},
				{Name: "weighed", Words: "the additions are weighed already", To: &q.Weighed},
				{Name: "before", Words: "the batch as it stood, in grams (default as made, or else as planned)", Unit: "g", High: 1e6, Above: true, To: &q.BeforeG},
				{Name: "after", Words: "the batch once added to, weighed, in grams", Unit: "g", High: 1e6, Above: true, To: &q.AfterG},
				{Name: "on", Words: "the day (default today once weighed)", To: &q.MadeOn},
				noteField(&q.Note),
				{Name: "yes", Words: "write what is of a lot that is held back or past its day, or more than is left of it", To: &q.Yes},
			}})
	},
}

func batchArg(to *string) Group {
	return words(Field{Name: "batch", Words: "a batch's number in the book or its code is accepted", Arg: true, Lists: "batch", To: to})
}

// Show writes the correction.
func (v *BookCorrected) Show(s *Screen) {
	s.fold("", v.Says)
	c := &v.Correction
	if c.Measured != nil {
		s.line("")
		s.line("Read as  %s, %s", labText(*c.Measured), seenWords(c.Seen))
		if c.DE00Before != nil {
			s.line("         ΔE00 %.2f from the blend's target", *c.DE00Before)
		}
	}
	s.line("")
	s.bookWeights(c.Weights)
}

// BookCorrection is a correction to be written down: what a batch was read as
// and what is added to bring it back.
type BookCorrection struct {
	book.Correction          // how it was read is by the colour and on skin where nothing is said, before it as made or else as planned
	BatchText       string   // its number or code in the book
	Colour          string   // of the batch as it is, as ReadColour takes it; may be left out
	Add             []string // "powder=grams"
	Lots            []string // "powder=lot"
	Weighed         bool     // the additions are on the balance already, not only planned
	Yes             bool     // although a lot is held back, past its day or has less left
}

// BookCorrected is a correction written.
type BookCorrected struct {
	ID         int64           `json:"id"`
	ReadingID  int64           `json:"readingId,omitempty"`
	Correction book.Correction `json:"correction"`
	Says       string          `json:"says"`
}

// Correct writes a correction of a batch, with the reading it was made from.
func (e *Env) Correct(ctx context.Context, q BookCorrection) (v *BookCorrected, err error) {
	lots, err := namedLots(q.Lots)
	if err != nil {
		return nil, err
	}
	c := q.Correction
	c.Seen = orElse(c.Seen, "skin")
	if c.Weights, err = additions(q.Add, lots, q.Weighed); err != nil {
		return nil, err
	}
	var r *book.Reading
	if q.Colour != "" {
		colourRead, err := e.ReadColour(q.Colour)
		if err != nil {
			return nil, err
		}
		r = &book.Reading{TakenOn: c.MadeOn, How: c.How, Seen: c.Seen}
		if err := fillReading(r, colourRead.Reading, false); err != nil {
			return nil, err
		}
		c.Measured, c.How, c.Geometry = &r.Lab, r.How, r.Geometry
	}
	c.How = orElse(c.How, "by eye")
	err = e.Book.read(ctx, together(ctx, func(b *book.Book) error {
		number, err := batchID(ctx, b, q.BatchText)
		if err != nil {
			return err
		}
		old, err := stands(ctx, b, number)
		if err != nil {
			return err
		}
		batch := old.Batch
		if c.BeforeG == 0 && batch.MadeG != nil {
			c.BeforeG = *batch.MadeG
		}
		c.BeforeG = cmp.Or(c.BeforeG, batch.PlannedG)
		if err := e.mayAdd(ctx, b, old, c.Weights); err != nil {
			return err
		}
		if r != nil && c.Seen == "skin" {
			c.DE00Before = offTarget(old.Blend, r)
		}
		id, err := e.keepCorrection(ctx, b, batch, &c, r, nil)
		if err != nil {
			return err
		}
		v = &BookCorrected{ID: id, ReadingID: c.ReadingID, Says: correctionSays(id, number, q.Weighed)}
		if v.Correction, err = book.Get[book.Correction](ctx, b, id); err != nil || q.Yes {
			return err
		}
		stock, err := b.Stock(ctx)
		if err != nil {
			return err
		}
		return wrongLot(v.Correction.Weights, stock, orElse(v.Correction.MadeOn, e.today()))
	}))
	return v, err
}

// mayAdd refuses powders that neither the batch, the book, the drawer that the batch was
// asked of nor the built-in one has, which nothing could be made of again.
func (e *Env) mayAdd(ctx context.Context, b *book.Book, old *standing, add []book.Weight) error {
	asked, err := e.askedThen(old, Input{})
	if err != nil { // the book has its weights alone
		asked.env = e
	}
	asked.AlsoBuiltin = true
	drawer, err := asked.openDrawer(film.DefaultIndex)
	if err != nil {
		return err
	}
	all := &palette.Drawer{Pigments: slices.Clone(drawer.Pigments)}
	also := func(name string) {
		if _, err := all.Find(name); err != nil {
			all.Pigments = append(all.Pigments, &palette.Pigment{Name: name})
		}
	}
	own, err := book.All[book.Powder](ctx, b)
	if err != nil {
		return err
	}
	for _, p := range own {
		also(p.Name)
	}
	for _, w := range old.Batch.Weights {
		if w.Role == "powder" {
			also(w.Name)
		}
	}
	for _, w := range add {
		if _, err := all.Find(w.Name); err != nil {
			return input(err)
		}
	}
	return nil
}

func correctionSays(id, batch int64, weighed bool) string {
	says := fmt.Sprintf("Correction %d of batch %d is in the book.", id, batch)
	if !weighed {
		says += " It counts as planned until what the balance shows is written."
	}
	return says
}

// keepCorrection writes a correction, the reading it was made from and the
// strengths of lots learnt by it, all or nothing.
func (e *Env) keepCorrection(ctx context.Context, b *book.Book, batch book.Batch, c *book.Correction, r *book.Reading, lessons []LotLesson) (id int64, err error) {
	c.BatchID = batch.ID
	if err := takeBatchLots(ctx, b, e.today(), batch, c.Weights); err != nil {
		return 0, err
	}
	return id, b.Together(ctx, func(b *book.Book) error {
		if r != nil {
			r.BatchID = batch.ID
			if c.Seen == "skin" {
				r.ClientID = batch.ClientID
			}
			if c.ReadingID, err = book.Add(ctx, b, *r); err != nil {
				return err
			}
		}
		for _, l := range lessons {
			if err := b.Set(ctx, book.Lots, l.id, "strength", l.Strength); err != nil {
				return err
			}
		}
		id, err = book.Add(ctx, b, *c)
		return err
	})
}

// LotLesson is how strong a lot turned out.
type LotLesson struct {
	Powder   string  `json:"powder"`
	Lot      string  `json:"lot"`
	Was      float64 `json:"was"`
	Strength float64 `json:"strength"` // of the drawer's data; 1 is the same

	id int64
}

// standing is a batch of the book as it stands: its powders and its corrections'
// in grams, and all of it.
type standing struct {
	book.Again
	has         []book.Weight      // its powders; WeighedG is what is in it
	rest        map[string]float64 // grams by name of what is no powder
	grams       float64
	open        []string // not weighed
	corrections []book.Correction
	lots        []usedLot       // its powders came from, or are to
	stock       []book.LotStock // all lots of the book
	notes       []string
}

// usedLot is a lot that something came from on a day, "" for what is still to come.
type usedLot struct {
	book.LotStock
	on string
}

// lotOf is the lot that a weight came from, nil where the book has none.
func (s *standing) lotOf(w book.Weight) *book.LotStock {
	if at := slices.IndexFunc(s.stock, func(l book.LotStock) bool { return l.LotID == w.LotID }); at >= 0 {
		return &s.stock[at]
	}
	return nil
}

// held says which of its lots are held back, or were past their day.
func (s *standing) held(today string) (list []batch.Finding) {
	for _, l := range s.lots {
		list = append(list, notFor(&l.LotStock, orElse(l.on, today))...)
	}
	slices.SortFunc(list, func(a, b batch.Finding) int { return strings.Compare(a.Text, b.Text) })
	return slices.Compact(list)
}

// waiting asks about a further mending while one is not weighed, as if it were in already.
func (s *standing) waiting() error {
	for _, c := range s.corrections {
		if open := unweighed(c.Weights); len(open) > 0 {
			return faultf("yes", "writes a further mending of batch %d, and correction %d is not weighed yet (%s): how it looks would count as seen with that in it. 'tawny book weigh --correction %d' writes it down, and 'tawny book delete correction %d --yes' takes it out. Nothing is written yet", s.Batch.ID, c.ID, strings.Join(open, ", "), c.ID, c.ID)
		}
	}
	return nil
}

// weighs makes of what went in what the batch is said to weigh: the difference is water
// in a lotion, else, or where no more than a pot's balance tells, a share of everything.
func (s *standing) weighs(madeG float64, sheet *batch.Batch) {
	lost, water := batch.Lost(s.grams, madeG, cmp.Or(sheet.BalanceG, 0.01)), sheet.Water()
	if g := s.rest[water]; water != "" && lost != 0 && g > lost {
		s.rest[water] -= lost
		s.grams -= lost
	} else if s.grams > 0 {
		s.scale(madeG)
	}
}

// scale makes it so many grams, with the same shares.
func (s *standing) scale(to float64) {
	for _, p := range s.has {
		*p.WeighedG *= to / s.grams
	}
	for name := range s.rest {
		s.rest[name] *= to / s.grams
	}
	s.grams = to
}

// standsOf is stands of a batch by its number or its code.
func standsOf(ctx context.Context, b *book.Book, named string) (*standing, error) {
	id, err := batchID(ctx, b, named)
	if err != nil {
		return nil, err
	}
	return stands(ctx, b, id)
}

// stands works out a batch as it stands. What was not weighed counts as planned until
// the batch is said to be finished, and then is not in it, unless nothing was; what was
// taken out before a mending took its share of everything.
func stands(ctx context.Context, b *book.Book, id int64) (s *standing, err error) {
	s = &standing{rest: map[string]float64{}}
	if s.Again, err = b.MakeAgain(ctx, id); err != nil {
		return nil, err
	}
	if s.stock, err = b.Stock(ctx); err != nil {
		return nil, err
	}
	if s.corrections, err = book.Of[book.Correction](ctx, b, "batch_id", id); err != nil {
		return nil, err
	}
	weighed := s.Batch.MadeG != nil || slices.ContainsFunc(s.corrections, func(c book.Correction) bool { return c.AfterG != nil })
	finished := weighed && len(unweighed(s.Batch.Weights)) < len(s.Batch.Weights)
	add := func(list []book.Weight, on string) {
		for _, w := range list {
			if w.WeighedG == nil {
				s.open = append(s.open, w.Name)
				if finished {
					continue
				}
			}
			g := w.Grams()
			if l := s.lotOf(w); l != nil && g > 0 {
				s.lots = append(s.lots, usedLot{*l, on})
			}
			s.grams += g
			if w.Role != "powder" {
				s.rest[w.Name] += g
				continue
			}
			at := slices.IndexFunc(s.has, func(p book.Weight) bool { return strings.EqualFold(p.Name, w.Name) })
			if at < 0 {
				w.WeighedG = new(float64)
				s.has, at = append(s.has, w), len(s.has)
			}
			*s.has[at].WeighedG += g
		}
	}
	add(s.Powders, s.Batch.MadeOn)
	add(slices.DeleteFunc(slices.Clone(s.Batch.Weights), func(w book.Weight) bool { return w.Role == "powder" }), s.Batch.MadeOn)
	switch {
	case finished && len(s.open) > 0:
		s.notes = append(s.notes, fmt.Sprintf("Batch %d is finished, and does not count as having in it what was not weighed: %s.", id, strings.Join(s.open, ", ")))
	case len(s.open) > 0:
		s.notes = append(s.notes, fmt.Sprintf("Batch %d is not weighed throughout; what is not counts as planned.", id))
	}
	finished = false // what a mending adds is still to come
	sheet := sheetIn(s.Batch.Document)
	if s.Batch.MadeG != nil {
		s.weighs(*s.Batch.MadeG, &sheet)
	}
	for _, c := range s.corrections {
		if c.BeforeG > 0 && c.BeforeG < s.grams {
			s.scale(c.BeforeG)
		}
		add(c.Weights, c.MadeOn)
		if len(unweighed(c.Weights)) > 0 {
			s.notes = append(s.notes, fmt.Sprintf("Correction %d counts as planned until what the balance showed is written.", c.ID))
		}
		if c.AfterG != nil {
			s.weighs(*c.AfterG, &sheet)
		}
	}
	return s, nil
}

// shares are its powders as parts of a stated blend.
func (s *standing) shares() (list []string) {
	for _, p := range s.has {
		list = append(list, fmt.Sprintf("%s=%.6g", p.Name, 100**p.WeighedG/s.grams))
	}
	return list
}

// additions reads the powders added.
func additions(items []string, lots map[string]string, weighed bool) ([]book.Weight, error) {
	if len(items) == 0 {
		return nil, inputf("nothing is added; {add} 'bronze=0.2' says what, in grams")
	}
	var list []book.Weight
	seen := map[string]bool{}
	for _, item := range items {
		name, grams, err := amount(item, inGrams)
		if err != nil {
			return nil, err
		}
		if seen[fold(name)] {
			return nil, inputf("%s is added twice; once is accepted", name)
		}
		seen[fold(name)] = true
		w := book.Weight{Role: "powder", Name: name, PlannedG: grams, Lot: lots[fold(name)]}
		if weighed {
			w.WeighedG = &grams
		}
		list = append(list, w)
	}
	for name := range lots {
		if !seen[name] {
			return nil, inputf("a lot is named for %q, which is not added", name)
		}
	}
	return list, nil
}

// takeBatchLots says for each addition that names no lot which it comes from:
// the batch's own of that powder as long as it lasts, else the first with
// enough left.
func takeBatchLots(ctx context.Context, b *book.Book, today string, batch book.Batch, add []book.Weight) error {
	by, err := lotsLeft(ctx, b)
	if err != nil {
		return err
	}
	for i, w := range add {
		if w.Lot != "" {
			continue
		}
		list := by[fold(w.Name)]
		if g, ok := choose(list, w.PlannedG, today); ok {
			add[i].Lot = g.Lot
		}
		for _, was := range batch.Weights {
			for _, g := range list {
				if was.Role == "powder" && strings.EqualFold(was.Name, w.Name) && was.LotID == g.LotID && g.Held == "" && g.LeftG >= w.PlannedG {
					add[i].Lot = g.Lot
				}
			}
		}
	}
	return nil
}

// offTarget is how far a batch read on skin lies from its blend's target, nil
// where the book has no blend of it, has forgotten its target or its target was read otherwise.
func offTarget(blend *book.Blend, r *book.Reading) *float64 {
	if blend == nil || blend.Target == nil || colour.Geometry(r.Geometry).Assumed() != colour.Geometry(blend.Geometry).Assumed() {
		return nil
	}
	return new(colour.DeltaE00(r.Lab, *blend.Target))
}
