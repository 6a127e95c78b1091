package job

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/blend/palette"
	"tawny/colour"
)

// bookBatch is a batch of the book that is to be mended.
type bookBatch struct {
	made *standing
	bags bags
	kept map[string]string // powders of which the book has nothing that may be used, and why
	none int               // how many powders of the drawer count as not at hand
	all  bool              // and yet are

	// What was found of it.
	now       *mend.State
	taken     colour.Reading // where one was
	grams     float64
	drawerLot map[string]string // whose data the drawer's are
}

// MendChosen is a way of mending written to the batch.
type MendChosen struct {
	Option       int         `json:"option"` // from 1
	CorrectionID int64       `json:"correctionId"`
	ReadingID    int64       `json:"readingId,omitempty"`
	Lessons      []LotLesson `json:"lessons,omitempty"`
	Says         string      `json:"says"`
}

// mendInBook mends a batch of the book: what was asked for it, its weights and
// lots, and what is in stock, are the book's.
func (e *Env) mendInBook(ctx context.Context, q MendInput) (r *MendResult, err error) {
	return r, e.Book.read(ctx, func(b *book.Book) error {
		k := &bookBatch{}
		if k.made, err = standsOf(ctx, b, q.BatchText); err != nil {
			return err
		}
		if q.Choose > 0 && !q.Yes {
			if err := k.made.waiting(); err != nil {
				return err
			}
		}
		asked, err := e.askedThen(k.made, Input{Skin: q.Skin, Drawer: q.Drawer})
		if err != nil {
			return err
		}
		notes, err := k.made.wornBy(&asked, q.Skin != "")
		if err != nil {
			return err
		}
		if _, of, _, err := e.scaledAsMade(k.made, Input{}, false); err == nil {
			notes = append(notes, toMend(of.Findings)...)
		}
		in := q
		in.Input, in.inBook = asked.Input, k
		in.Only, in.Without, in.AlsoBuiltin = q.Only, q.Without, in.AlsoBuiltin || q.AlsoBuiltin
		in.Gleam, in.Grain = orElse(q.Gleam, in.Gleam), orElse(q.Grain, in.Grain)
		if q.Balance > 0 {
			in.Balance = q.Balance
		}
		if in.Target == "" { // a stated blend's is what it should look like
			var look colour.Reading
			if was := k.made.Blend; was != nil && was.Target != nil {
				look = colour.Reading{Lab: *was.Target, Geometry: colour.Geometry(was.Geometry)}
			} else { // forgotten: what the recipe makes of the skin now named
				made, err := Blend(asked.Input)
				if err != nil {
					return err
				}
				look = colour.Reading{Lab: made.Blend.compared, Geometry: made.Skin.Geometry}
			}
			in.Target = look.String()
		}
		in.Weighed, in.Made = nil, k.made.grams
		for _, p := range k.made.has {
			in.Weighed = append(in.Weighed, fmt.Sprintf("%s=%.9g", p.Name, *p.WeighedG))
		}
		k.bags = bagsOf(k.made.stock)
		if r, err = Mend(ctx, in); err != nil {
			return err
		}
		r.Notes = slices.Concat(notes, k.made.notes, r.Notes)
		if q.Choose == 0 {
			return nil
		}
		return e.chooseMending(ctx, b, in, k, r)
	})
}

// lots puts a drawer in place with each powder of the batch as strong as the lot
// it was weighed from, and no more of any than the fullest of its lots has. Where
// the book has lots, of a powder that is in neither them, the batch nor a drawer of
// her own there is nothing.
func (k *bookBatch) lots(s *setting) {
	drawer := &palette.Drawer{Title: s.drawer.Title}
	k.drawerLot, k.none, k.kept = map[string]string{}, 0, map[string]string{}
	s.doubts.knows(k.bags)
	for _, g := range s.drawer.Pigments {
		stock, own := 0.0, g.StockG
		k.drawerLot[g.Name] = g.Lot
		g = withLot(g, g.Lot)
		for _, p := range k.made.has {
			if !strings.EqualFold(p.Name, g.Name) {
				continue
			}
			stock = plenty // unless the book says what is left
			if l := k.made.lotOf(p); l != nil {
				g = fromLot(g, l)
			}
		}
		list := k.bags.of(g.Name)
		switch {
		case list != nil:
			stock = fullest(list, s.in.lent().today()).LeftG
			if len(list) > 0 && stock <= 0 {
				k.kept[g.Name] = fmt.Sprintf("lot %s of %s is %s", list[0].Lot, g.Name, list[0].NotFor(s.in.lent().today()))
			}
		case own > 0 && s.in.Drawer != "" && !g.Invented:
			stock = own
		case len(k.bags) == 0 && (s.in.Drawer == "" || g.Invented):
			stock = plenty // nothing is kept of stock: what a blend is made from is at hand
		}
		switch {
		case stock <= 0 && k.all:
			stock = plenty
		case stock <= 0 && k.kept[g.Name] == "":
			k.none++
		}
		g.StockG = stock
		drawer.Pigments = append(drawer.Pigments, g)
	}
	s.drawer = drawer
}

// takes keeps the reading it is mended by; without a batch in the book there is
// nothing to keep it with.
func (k *bookBatch) takes(r colour.Reading) {
	if k != nil {
		k.taken = r
	}
}

// mostLoad is the most powder the batch may have, % w/w.
func (k *bookBatch) mostLoad(in MendInput) float64 {
	most := math.Min(film.MaxLoad, k.made.Batch.LoadPercent+mend.MoreLoad)
	if in.LoadMax > 0 {
		most = math.Min(most, in.LoadMax)
	}
	return most
}

// chooseMending writes a way of mending to the batch, with the reading it was
// found by and what that taught of the lots.
func (e *Env) chooseMending(ctx context.Context, b *book.Book, in MendInput, k *bookBatch, r *MendResult) error {
	if in.Choose > len(r.Options) {
		return faultf("choose", "is %d, and there are %s; nothing was written. %s", in.Choose, plural(len(r.Options), "way"), r.Advice)
	}
	o := &r.Options[in.Choose-1]
	where, _, _ := strings.Cut(r.Seen, ":")
	c := book.Correction{How: "by eye", Seen: where, DE00Before: &r.Now.DeltaE00, DE00Predicted: &o.DeltaE00, BeforeG: k.grams}
	var reading *book.Reading
	switch {
	case in.Looks != "":
		c.Note = "looked " + in.Looks
	case len(in.Nearer) > 0:
		c.Note = "nearer: " + strings.Join(in.Nearer, ", ")
	default:
		reading = &book.Reading{Seen: where}
		if in.Photo.File != "" {
			reading.How = "photo"
		}
		if err := fillReading(reading, k.taken, false); err != nil {
			return err
		}
		c.How, c.Measured, c.Geometry = reading.How, &reading.Lab, reading.Geometry
	}
	var err error
	o.Drawer = e.whole(in.Drawer)
	if c.Document, err = json.Marshal(o); err != nil {
		return err
	}
	for _, a := range o.Additions {
		w := book.Weight{Role: "powder", Name: a.Name(), PlannedG: a.Grams}
		if a.Base != "" {
			w.Role, w.Name = "base", a.Base
		}
		c.Weights = append(c.Weights, w)
	}
	v := &MendChosen{Option: in.Choose, Lessons: k.lessons(in)}
	if v.CorrectionID, err = e.keepCorrection(ctx, b, k.made.Batch, &c, reading, v.Lessons); err != nil {
		return err
	}
	v.ReadingID, r.Chosen = c.ReadingID, v
	v.Says = correctionSays(v.CorrectionID, k.made.Batch.ID, false)
	for _, l := range v.Lessons {
		v.Says += fmt.Sprintf(" Lot %s of %s is now known to colour %.3g times as much as the drawer's data.", l.Lot, l.Powder, l.Strength)
	}
	return nil
}

// lessons are the strengths of lots that a reading teaches: not words, which are
// too coarse, nor a reading that strengths explain badly. Within 2 % is as good
// as a fit tells (our own choice). Data of the lot itself are not changed so.
func (k *bookBatch) lessons(in MendInput) (list []LotLesson) {
	if in.Looks != "" || k.now.Unexplained > mend.EyeError {
		return nil
	}
	for _, f := range k.now.Strengths {
		for _, p := range k.made.has {
			l := k.made.lotOf(p)
			if l == nil || !strings.EqualFold(p.Name, f.Pigment.Name) || math.Abs(f.Factor-1) <= 0.02 || strings.EqualFold(k.drawerLot[f.Pigment.Name], l.Lot) {
				continue
			}
			was := 1.0
			if l.Strength != nil && *l.Strength > 0 {
				was = *l.Strength
			}
			list = append(list, LotLesson{f.Pigment.Name, l.Lot, was, was * f.Factor, l.LotID})
		}
	}
	return list
}
