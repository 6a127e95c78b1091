package job

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/film"
	"tawny/colour"
)

var bookAgainJob = &Job{
	Name:     "book again",
	Searches: true,
	Args:     "BATCH",
	Short:    "Make a batch again, from today's lots",
	Long: `Asks again for what a batch was made for, with today's lots: each at its own
strength and within what is left of it. The powders stay as they were as long as
all are to be had; else, or with --any, all that the request allowed are tried. A
blend that was stated keeps its powders, with their shares put right for strength;
with --any it is matched anew to its target. A batch that was mended is made as it
was mended, unless it is matched anew; the answer says which. A client's skin is the
average of their readings today; of a client who was forgotten the recipe is left,
and made as it was, without a prediction. The new blend and batch are written into
the book; with --out the swatch card and the batch sheet too.`,
	Example: "  tawny book again 3\n  tawny book again 3 --grams 500 --out bench\n  tawny book again 3 --containers 8 --ml 50 --any",
	New: func() Task {
		q := &BookAgain{}
		size := q.sizeFields()
		size[0].Words = "size of the batch in grams"
		var format string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q.files = filesFor{env, format}
			return env.Again(ctx, *q, env.Progress)
		}, batchArg(&q.BatchText), Group{Title: "New batch", Fields: append(size,
			titleField(&q.Title, "another name than then"),
			Field{Name: "skin", Words: "another skin than then", Lists: "skin", To: &q.Skin},
			drawerField(&q.Drawer, "another drawer than then, a CSV file"),
			lotsField(&q.Lots),
			codeField(&q.Bench.Code),
			Field{Name: "any", Words: "choose from all powders allowed, not only those used then", To: &q.AnyPowder},
			noteField(&q.Note),
			Field{Name: "yes", Words: "take a lot that is past its day", To: &q.Yes},
			formatField(&format),
			outField(""),
		), Check: q.checkSize})
	},
}

// Show sets the batch then and the new one beside each other.
func (v *BookMadeAgain) Show(s *Screen) {
	s.line("Again: batch %d, %s, %s", v.From, orNothing(v.Old.Name), madeWords(v.Old.MadeOn, "planned, never weighed"))
	for _, l := range v.Then {
		now := "nothing left"
		if !l.Gone {
			now = lotWords(l.LotNow, l.StrengthNow)
		}
		s.line("  %-22s then %s; today %s", l.Name, lotWords(l.Lot, l.StrengthThen), now)
	}
	s.fold("", v.Choice)
	if v.OldKnown {
		s.line("Predicted ΔE00 %.2f from the old one's prediction.", v.OffOld)
		if v.SkinOff > 0.05 {
			s.fold("", fmt.Sprintf("The skin is ΔE00 %.2f from the one then.", v.SkinOff))
		}
	}
	s.line("")
	v.BookSaved.Show(s)
}

func lotWords(lot string, strength float64) string {
	if lot == "" {
		return "no lot"
	}
	if strength != 1 {
		return fmt.Sprintf("lot %s (strength %.3g)", lot, strength)
	}
	return "lot " + lot
}

// BookAgain asks for a batch once more, of today's lots.
type BookAgain struct {
	Input              // its size, title, skin and drawer instead of those then; the code is the new batch's
	BatchText string   // its number or code in the book
	AnyPowder bool     // match from all the request allowed, not only the powders used then
	Lots      []string // "powder=lot"
	Note      string
	Yes       bool // although a lot is past its day

	files filesFor
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
	Mended   []int64     `json:"mended,omitempty"` // the corrections whose recipe this is

	bags    map[string]string // the lots of the book that were reckoned with, by powder
	unknown []string          // those of them that are new since, and not compared with any data
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
	lots, err := namedLots(q.Lots)
	if err != nil {
		return nil, err
	}
	err = e.Book.read(ctx, func(b *book.Book) error {
		old, err := standsOf(ctx, b, q.BatchText)
		if err != nil {
			return err
		}
		asked, err := e.askedThen(old, q.Input)
		if err != nil {
			return err
		}
		if id := old.Batch.ClientID; id != 0 {
			asked.Client = fmt.Sprintf("#%d", id)
		}
		client, err := asked.whose(ctx, b)
		if err != nil {
			return err
		}
		v = &BookMadeAgain{From: old.Batch.ID, Old: AgainOld{old.Batch.Name, old.Batch.MadeOn}}
		if v.Notes, err = findSkin(old.Blend, &asked, q.Skin != ""); err != nil {
			return err
		}
		for _, c := range old.corrections {
			v.Mended = append(v.Mended, c.ID)
		}
		if len(v.Mended) > 0 {
			v.Notes = append(v.Notes, old.notes...)
			asked.Parts, asked.Rank = old.shares(), 0
			for _, w := range old.has { // one that only a correction added has its lot too
				if !slices.ContainsFunc(old.Powders, func(p book.Weight) bool { return strings.EqualFold(p.Name, w.Name) }) {
					old.Powders = append(old.Powders, w)
				}
			}
		}
		r, err := v.rematch(ctx, old, &asked, q.AnyPowder, lots, progress)
		if err != nil {
			return err
		}
		for _, w := range old.Batch.Weights {
			if w.PlannedG == 0 && w.Grams() > 0 { // which the new sheet has no line for either
				v.Choice += fmt.Sprintf(" Last time %.4g g of %s was put in beside its lines: measure the pH before any goes in.", w.Grams(), w.Name)
			}
		}
		v.Notes = append(v.Notes, v.follows(&old.Batch, r)...)
		for _, p := range r.Blend.parts { // what it was matched from is what it is weighed from
			name := fold(p.Pigment.Name)
			if lot := cmp.Or(v.bags[name], lots[name], p.Pigment.Lot); lot != "" {
				lots[name] = lot
			}
		}
		asked.Bench.Code, r.setting.in.Bench.Code = q.Bench.Code, q.Bench.Code
		r.Title = orElse(asked.Title, old.Batch.Name)
		asked.Note, asked.files, asked.asks = q.Note, q.files, !q.Yes
		saved, err := r.keep(ctx, b, asked, client, lots)
		if err != nil {
			return err
		}
		saved.Notes = append(v.Notes, saved.Notes...)
		v.BookSaved = *saved
		v.compare(old.Blend)
		return nil
	})
	return v, err
}

// askedThen is what was asked for a batch, with what is asked differently now. It is of
// the drawer that the last mending was from, and has all its powders.
func (e *Env) askedThen(old *standing, now Input) (asked BookSave, err error) {
	if old.Request == nil {
		return asked, inputf("%s; 'tawny book show batch %d' shows them", strings.TrimSuffix(old.Says, "."), old.Batch.ID)
	}
	if asked, err = requestThen(&old.Again, now); err != nil {
		return asked, err
	}
	for _, c := range old.corrections {
		if o := (MendOption{}); now.Drawer == "" && json.Unmarshal(c.Document, &o) == nil {
			asked.Drawer = orElse(o.Drawer, asked.Drawer)
		}
	}
	for _, w := range slices.Concat(old.Powders, old.has) {
		asked.lines = append(asked.lines, w.Name)
	}
	asked.env, err = e.keeper(now)
	return asked, err
}

// keeper lends what a request kept in the book names: its files are the maker's
// own. What is named differently now must be to be had by this face.
func (e *Env) keeper(now Input) (*Env, error) {
	if now.Skin != "" {
		if _, _, err := (Input{Skin: now.Skin, env: e}).openSkin(); err != nil {
			return nil, err
		}
	}
	if now.Drawer != "" {
		if _, err := e.OpenDrawer(now.Drawer, film.DefaultIndex); err != nil {
			return nil, err
		}
	}
	k := *e
	k.Files, k.Drawers = Disk, nil
	return &k, nil
}

// requestThen reads what was asked then, with what is asked differently now.
func requestThen(old *book.Again, now Input) (BookSave, error) {
	var r BookSave
	if err := docOf("book save", r.fields()).Read(old.Request); err != nil {
		return r, inputf("what was asked for batch %d cannot be read: %w", old.Batch.ID, err)
	}
	r.Skin, r.Drawer, r.Title = orElse(now.Skin, r.Skin), orElse(now.Drawer, r.Drawer), orElse(now.Title, r.Title)
	// Of a client who was forgotten only the recipe is left.
	if r.weighOnly = r.Skin == ""; r.weighOnly && len(r.Parts) == 0 {
		return r, inputf("what was asked for batch %d names no skin; give {skin}", old.Batch.ID)
	}
	switch {
	case now.Containers > 0:
		r.Grams, r.Containers, r.ML = 0, now.Containers, cmp.Or(now.ML, r.ML)
		if r.ML == 0 {
			return r, faultf("containers", sizeWanted)
		}
	case now.Grams > 0:
		r.Grams, r.Containers, r.ML, r.Bench.Samples = now.Grams, 0, 0, nil
	}
	r.Bench.Samples = cmp.Or(now.Bench.Samples, r.Bench.Samples)
	return r, nil
}

// keepShade keeps a shade that was asked for in words on a skin that is still of
// that colour as it was: with other jars in the drawer the words mean another.
func keepShade(was *book.Blend, asked *BookSave, on colour.Lab) {
	_, _, words := shadeWord(asked.Target)
	if words && was != nil && was.Skin != nil && was.Target != nil && colour.DeltaE00(*was.Skin, on) < 0.05 {
		asked.shadeThen = &colour.Reading{Lab: *was.Target, Geometry: colour.Geometry(was.Geometry)}
	}
}

// wornBy sees that the skin a batch was made for is still to be had, or another is given.
func (s *standing) wornBy(asked *BookSave, given bool) (notes []string, err error) {
	if asked.weighOnly {
		return nil, inputf("batch %d was made for a client who is forgotten, and the skin went with them; {skin} says on which it is to be looked at", s.Batch.ID)
	}
	return findSkin(s.Blend, asked, given)
}

// findSkin sees that the skin asked for then is still to be had. Where it is
// not, such as a file since moved, the colour kept with the blend stands in.
func findSkin(was *book.Blend, asked *BookSave, given bool) (notes []string, err error) {
	if asked.weighOnly {
		return nil, nil
	}
	k, _, err := asked.Input.openSkin()
	if err == nil {
		keepShade(was, asked, k.Reading.Lab)
		return nil, nil
	}
	daylight := (asked.Illuminant == "" || asked.Illuminant == "D65") && (asked.Observer == "" || asked.Observer == "2")
	if given || was == nil || was.Skin == nil || !daylight {
		return nil, fmt.Errorf("%w; {skin} names another", err)
	}
	g := colour.Geometry(was.SkinGeometry)
	notes = append(notes, fmt.Sprintf("The skin asked for then (%s) is not to be had any more, so its colour in the book was used, %s.", asked.Skin, g.Words()))
	asked.Skin = colour.Reading{Lab: *was.Skin, Geometry: g}.String()
	return notes, nil
}

// rematch asks again with today's lots.
func (v *BookMadeAgain) rematch(ctx context.Context, old *standing, asked *BookSave, any bool, lots map[string]string, progress func(float64)) (*BlendResult, error) {
	s, err := asked.Input.open()
	if err != nil {
		return nil, fmt.Errorf("asking again for batch %d: %w", v.From, err)
	}
	t, err := s.targetIfSaid()
	if err != nil {
		return nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	gone, err := v.todaysDrawer(s, old, lots)
	if err != nil {
		return nil, err
	}
	mended := len(v.Mended) > 0
	lost := slices.ContainsFunc(v.Then, func(l AgainLine) bool { return l.Gone })
	if (any || mended && lost) && t != nil {
		asked.Parts, v.Mended = nil, nil
	}
	if len(asked.Parts) > 0 {
		return v.restate(s, t, asked, gone)
	}
	if err := v.choose(s, old, any, gone); err != nil {
		return nil, err
	}
	if mended {
		v.Choice += " What was added when it was mended is not taken over."
	}
	s.in.InStock = true
	m, err := s.match(ctx, t, progress)
	if err != nil {
		return nil, err
	}
	return m.one(1), nil
}

// restate is a stated blend with each powder's share put right for the
// strength of its lot, so that as much of its colour is in it as then. It is kept as
// what was asked, for the shares are those of today's lots.
func (v *BookMadeAgain) restate(s *setting, t *target, asked *BookSave, gone map[string]bool) (*BlendResult, error) {
	for _, item := range asked.Parts {
		if name, _, err := amount(item, shares); err == nil && gone[fold(name)] {
			return nil, inputf("nothing is left of %s, or the drawer no longer has it, and the blend was stated, not matched; 'tawny book add lot' writes a new jar down, and {any} matches anew where there was a target", name)
		}
	}
	parts, err := s.parts(asked.Parts)
	if err != nil {
		return nil, err
	}
	as := "as they were"
	for i := range parts {
		for _, line := range v.Then {
			if strings.EqualFold(line.Name, parts[i].Pigment.Name) && line.StrengthThen != line.StrengthNow {
				parts[i].Percent *= line.StrengthThen / line.StrengthNow
				as = "put right for the strength of today's lots"
			}
		}
	}
	asked.Parts = partItems(parts)
	v.Choice = "The blend was stated, so its powders stay"
	switch n := len(v.Mended); {
	case n > 0:
		v.Choice = fmt.Sprintf("The mended recipe: batch %d with what %s added", v.From, plural(n, "correction"))
	case s.weighOnly:
		v.Choice = "The recipe as it was"
	}
	v.Choice += "; the shares are " + as + "."
	if len(v.unknown) > 0 {
		v.Choice += fmt.Sprintf(" Of %s, new since, nothing is known: a smear of it beside the old one tells how strongly it colours.", strings.Join(v.unknown, " and "))
	}
	if len(v.Mended) > 0 {
		s.notes = append(s.notes, v.Choice)
	}
	if s.weighOnly {
		v.Choice += " Whom it was made for is forgotten, so nothing is predicted."
	}
	return s.stated(parts, t)
}

// follows says of a mended recipe what its prediction does not know, and of any how far
// the load went.
func (v *BookMadeAgain) follows(old *book.Batch, r *BlendResult) (notes []string) {
	if len(v.Mended) > 0 && !r.setting.weighOnly {
		notes = append(notes, fmt.Sprintf("What is predicted of it goes by the powders' data and their lots; what batch %d looked like when it was mended is in the recipe alone.", v.From))
	}
	if was, now := old.LoadPercent, r.Blend.LoadPercent; math.Abs(now-was) > 0.1*was {
		notes = append(notes, fmt.Sprintf("Its load is %.3g %%, where batch %d was planned with %.3g %%.", now, v.From, was))
	}
	return notes
}

// choose says which powders to match from: those used then, as long as all
// are to be had, else what the request allowed.
func (v *BookMadeAgain) choose(s *setting, old *standing, any bool, gone map[string]bool) error {
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
func (v *BookMadeAgain) compare(was *book.Blend) {
	if was == nil || was.Predicted == nil || v.Result == nil {
		return
	}
	v.OldKnown = true
	v.OffOld = colour.DeltaE00(*was.Predicted, v.Result.Blend.Lab)
	if was.Skin != nil {
		v.SkinOff = colour.DeltaE00(*was.Skin, v.Result.Skin.Lab)
	}
}
