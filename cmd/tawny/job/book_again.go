package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// BookAgain asks for a batch once more, of today's lots.
type BookAgain struct {
	BatchText  string // its number in the book
	Batch      int64
	Grams      float64 // instead of what was asked then
	Containers int
	ML         float64 // of one container, with Containers
	Skin       string  // instead of the skin then
	Drawer     string  // instead of the drawer then
	AnyPowder  bool    // match from all the request allowed, not only the powders used then
	Note       string
}

// BookMadeAgain is the new blend and batch, beside the old.
type BookMadeAgain struct {
	BookSaved
	From     int64       `json:"from"` // the old batch
	Old      AgainOld    `json:"old"`
	Then     []AgainLine `json:"then"` // the powders used then
	Choice   string      `json:"choice"`
	OffOld   float64     `json:"deltaE00FromOld"`     // of the two predictions; 0 where the old is not known
	SkinOff  float64     `json:"skinDeltaE00FromOld"` // of the skin then and today
	OldKnown bool        `json:"oldKnown"`
}

// AgainOld is the batch made then.
type AgainOld struct {
	Name   string `json:"name"`
	MadeOn string `json:"madeOn,omitempty"`
}

// AgainLine is a powder then and today.
type AgainLine struct {
	Name         string  `json:"name"`
	Lot          string  `json:"lotThen,omitempty"`
	LotNow       string  `json:"lotToday,omitempty"`
	StrengthThen float64 `json:"strengthThen"` // of the drawer's data; 1 is the same
	StrengthNow  float64 `json:"strengthToday"`
	Gone         bool    `json:"gone"` // none is left, or it is retired
}

// Again matches a batch's request again with today's lots, each at its own
// strength and within what is left of it, and writes the new blend and batch
// into the book.
func (e *Env) Again(ctx context.Context, q BookAgain, progress func(float64)) (v *BookMadeAgain, err error) {
	if q.Batch, err = RecordID("batch", q.BatchText); err != nil {
		return nil, err
	}
	err = e.Book.read(ctx, func(b *book.Book) error {
		old, err := b.MakeAgain(ctx, q.Batch)
		if err != nil {
			return err
		}
		if old.Request == nil {
			return inputf("%s; 'tawny book show batch %d' shows them", strings.TrimSuffix(old.Says, "."), q.Batch)
		}
		asked, err := q.request(old.Request)
		if err != nil {
			return err
		}
		if asked.env, err = e.keeper(q); err != nil {
			return err
		}
		name, err := clientName(ctx, b, old.Batch.ClientID)
		if err != nil {
			return err
		}
		client, err := (&BookSave{Input: asked.Input, Client: name}).whose(ctx, b)
		if err != nil {
			return err
		}
		v = &BookMadeAgain{From: q.Batch, Old: AgainOld{old.Batch.Name, old.Batch.MadeOn}}
		if err := v.findSkin(ctx, b, &old, &asked, q.Skin != ""); err != nil {
			return err
		}
		r, err := v.rematch(ctx, b, &old, &asked, q.AnyPowder, progress)
		if err != nil {
			return err
		}
		r.Title = orElse(asked.Title, old.Batch.Name)
		notes, err := r.takeLots(ctx, b, nil, true)
		if err != nil {
			return err
		}
		notes = append(v.Notes, notes...)
		saved, err := r.keep(ctx, b, asked, client, q.Note)
		if err != nil {
			return err
		}
		v.BookSaved = *saved
		v.Notes = notes
		return v.compare(ctx, b, &old)
	})
	return v, err
}

// keeper lends what a request kept in the book names: its files are the maker's
// own. What is named differently now must be to be had by this face.
func (e *Env) keeper(q BookAgain) (*Env, error) {
	if q.Skin != "" {
		if _, _, err := (Input{Skin: q.Skin, env: e}).openSkin(); err != nil {
			return nil, err
		}
	}
	if q.Drawer != "" {
		if _, err := e.OpenDrawer(q.Drawer, film.DefaultIndex); err != nil {
			return nil, err
		}
	}
	k := *e
	k.Files, k.Drawers = Disk, nil
	return &k, nil
}

// clientName is the name of the client with this id, "" for none.
func clientName(ctx context.Context, b *book.Book, id int64) (string, error) {
	if id == 0 {
		return "", nil
	}
	record, err := b.Show(ctx, book.Clients, id)
	if err != nil {
		return "", err
	}
	return record.(book.Client).Name, nil
}

// request reads what was asked then, with what is asked differently now.
func (q *BookAgain) request(raw json.RawMessage) (BookSave, error) {
	var r BookSave
	if err := docOf("book save", r.fields()).Read(raw); err != nil {
		return r, inputf("what was asked for batch %d cannot be read: %w", q.Batch, err)
	}
	r.Skin, r.Drawer = orElse(q.Skin, r.Skin), orElse(q.Drawer, r.Drawer)
	if r.Skin == "" {
		return r, inputf("what was asked for batch %d names no skin; give {skin}", q.Batch)
	}
	switch {
	case q.Containers > 0:
		r.Grams, r.Containers, r.ML = 0, q.Containers, q.ML
	case q.Grams > 0:
		r.Grams, r.Containers, r.ML = q.Grams, 0, 0
	}
	return r, nil
}

// findSkin sees that the skin asked for then is still to be had. Where it is
// not, such as a file since moved, the colour kept with the blend stands in.
func (v *BookMadeAgain) findSkin(ctx context.Context, b *book.Book, old *book.Again, asked *BookSave, given bool) error {
	_, _, err := asked.Input.openSkin()
	if err == nil {
		return nil
	}
	daylight := (asked.Illuminant == "" || asked.Illuminant == "D65") && (asked.Observer == "" || asked.Observer == "2")
	if given || old.Batch.BlendID == 0 || !daylight {
		return fmt.Errorf("%w; {skin} names another", err)
	}
	was, bookErr := b.Blend(ctx, old.Batch.BlendID)
	if bookErr != nil {
		return bookErr
	}
	if was.Skin == nil {
		return fmt.Errorf("%w; {skin} names another", err)
	}
	v.Notes = append(v.Notes, fmt.Sprintf("The skin asked for then (%s) is not to be had any more, so its colour in the book was used, its gloss taken as included.", asked.Skin))
	asked.Skin = colour.Reading{Lab: *was.Skin}.String()
	return nil
}

// rematch asks again with today's lots.
func (v *BookMadeAgain) rematch(ctx context.Context, b *book.Book, old *book.Again, asked *BookSave, any bool, progress func(float64)) (*BlendResult, error) {
	s, err := asked.Input.open()
	if err != nil {
		return nil, fmt.Errorf("asking again for batch %d: %w", v.From, err)
	}
	var t *target
	if asked.Target != "" {
		if t, err = s.target(asked.Target); err != nil {
			return nil, err
		}
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	gone, err := v.todaysDrawer(ctx, b, s, old)
	if err != nil {
		return nil, err
	}
	if len(asked.Parts) > 0 && any && t != nil {
		asked.Parts = nil
	}
	if len(asked.Parts) > 0 {
		return v.restate(s, t, asked.Parts, gone)
	}
	if err := v.choose(s, old, any, gone); err != nil {
		return nil, err
	}
	s.in.InStock = true
	m, err := s.match(ctx, t, progress)
	if err != nil {
		return nil, err
	}
	return m.one(1)
}

// todaysDrawer puts a copy of the drawer in place in which each powder the
// book has lots of is one lot: of its strength, and no more of it than is
// left. Powders with nothing left, or retired, are taken out and returned.
func (v *BookMadeAgain) todaysDrawer(ctx context.Context, b *book.Book, s *setting, old *book.Again) (gone map[string]bool, err error) {
	by, known, err := bags(ctx, b, s.in.today())
	if err != nil {
		return nil, err
	}
	then := map[string]book.AgainPowder{}
	for _, p := range old.Powders {
		then[strings.ToLower(p.Name)] = p
	}
	scale := 1.0
	if old.Batch.PlannedG > 0 {
		scale = s.batchGrams() / old.Batch.PlannedG
	}
	gone = map[string]bool{}
	drawer := &palette.Drawer{Title: s.drawer.Title}
	lines := map[string]AgainLine{}
	for _, g := range s.drawer.Pigments {
		name := strings.ToLower(g.Name)
		was := then[name]
		line := AgainLine{Name: g.Name, Lot: was.Then.Lot, StrengthThen: 1, StrengthNow: 1, LotNow: g.Lot}
		if was.Then.LotID != 0 {
			l, err := b.Lot(ctx, was.Then.LotID)
			if err != nil {
				return nil, err
			}
			line.StrengthThen = strengthIn(g, l)
		}
		switch {
		case was.RetireOn != "":
			line.Gone = true
		case known[name]:
			bag, ok := choose(by[name], was.Then.PlannedG*scale)
			line.Gone = !ok
			if ok {
				line.LotNow, line.StrengthNow = bag.Lot, strengthIn(g, bag.lot)
				g = atStrength(withLot(g, bag.Lot), line.StrengthNow)
				g.StockG = bag.LeftG
				v.Notes = append(v.Notes, v.shifted(bag, was)...)
			}
		case !s.in.InStock:
			g = withLot(g, g.Lot)
			g.StockG = plenty
		}
		if line.Gone {
			line.LotNow = ""
			gone[name] = true
		} else {
			drawer.Pigments = append(drawer.Pigments, g)
		}
		lines[name] = line
	}
	for _, p := range old.Powders {
		line, inDrawer := lines[strings.ToLower(p.Name)]
		if !inDrawer {
			line = AgainLine{Name: p.Name, Lot: p.Then.Lot, StrengthThen: 1, StrengthNow: 1, Gone: true}
			gone[strings.ToLower(p.Name)] = true
		}
		v.Then = append(v.Then, line)
	}
	if len(drawer.Pigments) == 0 {
		return nil, inputf("nothing is left of any powder in the drawer; 'tawny book stock' shows the lots")
	}
	s.drawer = drawer
	return gone, nil
}

// plenty is the stock of a powder that the book keeps no lots of, in g.
const plenty = 1e9

// shifted warns of a lot whose own shade lies off the powder's data, for a
// powder that was used.
func (v *BookMadeAgain) shifted(g bag, was book.AgainPowder) (notes []string) {
	if was.Name == "" {
		return nil
	}
	if d := g.lot.ShadeShiftDE00; d != nil && *d > 0 {
		notes = append(notes, fmt.Sprintf("Lot %s of %s is ΔE00 %.2g off the drawer's data beyond its strength, which the match does not know.", g.Lot, g.PowderName, *d))
	}
	return notes
}

// strengthIn is a lot's strength against the drawer's data. The data of a
// drawer that names this lot are the lot's own.
func strengthIn(g *palette.Pigment, l book.Lot) float64 {
	if l.Strength == nil || *l.Strength <= 0 || strings.EqualFold(g.Lot, l.Lot) {
		return 1
	}
	return *l.Strength
}

// atStrength is a powder that does so much of what g does to light, per mass.
func atStrength(g *palette.Pigment, strength float64) *palette.Pigment {
	c := *g
	for i := range colour.Bands {
		c.Optics.K[i] *= strength
		c.Optics.S[i] *= strength
		for a := range c.Optics.SAt {
			c.Optics.SAt[a][i] *= strength
		}
	}
	c.Optics.FaceArea *= strength
	return &c
}

// restate is a stated blend with each powder's share put right for the
// strength of its lot, so that as much of its colour is in it as then.
func (v *BookMadeAgain) restate(s *setting, t *target, items []string, gone map[string]bool) (*BlendResult, error) {
	for _, item := range items {
		if name, _, err := amount(item, percents); err == nil && gone[fold(name)] {
			return nil, inputf("nothing is left of %s, or the drawer no longer has it, and the blend was stated, not matched; {any} matches anew where there was a target", name)
		}
	}
	parts, err := s.parts(items)
	if err != nil {
		return nil, err
	}
	for i := range parts {
		for _, line := range v.Then {
			if strings.EqualFold(line.Name, parts[i].Pigment.Name) {
				parts[i].Percent *= line.StrengthThen / line.StrengthNow
			}
		}
	}
	v.Choice = "The blend was stated, so its powders stay; their shares are put right for the strength of today's lots."
	return s.stated(parts, t)
}

// choose says which powders to match from: those used then, as long as all
// are to be had, else what the request allowed.
func (v *BookMadeAgain) choose(s *setting, old *book.Again, any bool, gone map[string]bool) error {
	var used, lost []string
	for _, p := range old.Powders {
		if gone[strings.ToLower(p.Name)] {
			lost = append(lost, p.Name)
		} else {
			used = append(used, p.Name)
		}
	}
	for _, must := range s.in.Must {
		if gone[strings.ToLower(must)] {
			return inputf("every blend was to be allowed %s, and nothing is left of it", must)
		}
	}
	kept := func(name string) bool { return !gone[strings.ToLower(name)] }
	s.in.Without = slices.DeleteFunc(slices.Clone(s.in.Without), func(n string) bool { return !kept(n) })
	allowed := slices.DeleteFunc(slices.Clone(s.in.Only), func(n string) bool { return !kept(n) })
	if len(s.in.Only) > 0 && len(allowed) == 0 {
		return inputf("nothing is left of any powder the request was kept to: %s", strings.Join(s.in.Only, ", "))
	}
	s.in.Only = allowed
	switch {
	case any:
		v.Choice = "Chosen from all powders that the request allowed and that are to be had."
	case len(lost) > 0:
		v.Choice = fmt.Sprintf("Nothing is left of %s, so all powders to be had were tried.", strings.Join(lost, " and "))
	case len(used) == 0:
		return errors.New("the batch in the book has no powders")
	default:
		s.in.Only = used
		v.Choice = "The powders used then, in new shares."
	}
	return nil
}

// compare says how far the new prediction lies from the old.
func (v *BookMadeAgain) compare(ctx context.Context, b *book.Book, old *book.Again) error {
	if old.Batch.BlendID == 0 {
		return nil
	}
	was, err := b.Blend(ctx, old.Batch.BlendID)
	if err != nil {
		return err
	}
	v.OldKnown = true
	v.OffOld = colour.DeltaE00(was.Predicted, v.Result.Blend.Lab)
	if was.Skin != nil {
		v.SkinOff = colour.DeltaE00(*was.Skin, v.Result.Skin.Lab)
	}
	return nil
}
