package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/jar"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

var drawerAddJob = &Job{
	Name:  "drawer add",
	Short: "Add a powder by its jar's label",
	Long: `Guesses what a powder does to light from its jar's label. The INCI list and CI
numbers tell which coats it may have, the colour how thick they are, the size its
grain. The colour is a word, a # colour, a reading or a photo of a smear.

A smear: rub a little powder, WET WITH A DROP OF OIL, thinly over black card and
over white, let it lie flat, and read or photograph it beside a grey card in soft
light from one side, the camera off the gloss. Dry powder will not do: it is ten
ΔE00 off for bronze and copper.

Shares that the label does not print are estimated and marked ~. Sizes over 100 µm
are for the body only unless --areas says more. What the guess leaves unknown
stays with the powder as its doubt. The powder is marked guessed; tawny fit
replaces it once it has been drawn down.

A # colour and a photo are taken as seen off the gloss, lab:… as its /di, /de,
/45 or /photo says. Without --drawer nothing is written. The words for a colour:

  ` + wrapped(jar.Words()),
	Example: "  tawny drawer add --name 'rose gold' --inci 'Mica, Titanium Dioxide, Iron Oxides (CI 77491)' --size 10-60 --colour rose --drawer drawer.csv\n" +
		"  tawny drawer add --like gold --colour lab:75,-6,26/de --name 'gold smear'\n" +
		"  tawny drawer add --like gold --photo testdata/photo/smear-demo.jpg --strip testdata/photo/strip-demo.csv@60,40,680,100 --area 500,280,160,160 --name 'gold smear'",
	New: func() Task {
		in := &AddInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			return Add(env, *in)
		},
			Group{Title: "Label", Fields: []Field{
				{Name: "name", Words: "what to call it", To: &in.Name},
				{Name: "inci", Words: "its INCI list as the label has it: 'Mica, Titanium Dioxide, Iron Oxides'", To: &in.INCI},
				{Name: "ci", Words: "its colour index numbers: '77019, 77891'", To: &in.CI},
				{Name: "size", Words: "its sizes in µm: 10-60, d10-d50-d90 or <15 (default that of the powder it is like, or a family's middle one)", To: &in.Size},
				{Name: "areas", Words: "where its label allows it: body, eyes, lips (default by its colours and size, the body where no label is given)", Lists: "area", To: &in.Areas},
				{Name: "lot", Words: "its lot", To: &in.Lot},
				{Name: "grams", Words: "grams on hand", Unit: "g", High: 1e7, To: &in.Grams},
				{Name: "price", Words: "what a gram costs", High: 1e6, To: &in.Price},
				paidField(&in.Paid),
			}},
			Group{Title: "Colour", Fields: append([]Field{
				{Name: "colour", Words: "its colour: a word such as rose, or that of a smear: lab:L,a,b, #rrggbb, file#sample …", To: &in.Colour},
				{Name: "like", Words: "a powder it is like, a family or a word: gold, pink, brown, peach, glitter …", Lists: "powder", To: &in.Like},
				{Name: "on", Words: "what the smear is on: black, white or a card's colour (default black)", To: &in.On},
				{Name: "over-white", Words: "the same smear over white card: its colour or, in the photo, its area x,y,w,h", To: &in.White},
				{Name: "photo", Words: "or a photo of the smear, marked with patch or strip and area", To: &in.Photo.File},
			}, in.Photo.markFields()...)},
			Group{Title: "Drawer", Fields: []Field{
				{Name: "drawer", Words: "your drawer, a CSV file; made where there is none", Lists: "csv", To: &in.Drawer},
				{Name: "replace", Words: "in place of the powder of that name", To: &in.Replace},
				{Name: "yes", Words: "the label is right, though it names what tawny does not know; a product's label stays a DRAFT of that", To: &in.Sure},
			}})
	},
}

// Show writes the guess.
func (r *AddResult) Show(s *Screen) {
	s.line("%s%s: %s, like %s (%s)", s.patch(r.OnBlack.Hex), r.Name, r.Source, r.Like, r.Family)
	s.fold("  ", r.Words...)
	s.line("")
	if r.Wanted != nil {
		s.line("Smear      %s", labText(*r.Wanted))
		s.line("Guessed    %s", labText(*r.Found))
	}
	if r.Coat != "" {
		s.line("Coat       %s on %.0f nm mica", r.Coat, r.Substrate)
	}
	s.line("Size       %s, %.3g µm (%.3g to %.3g)", palette.GradeWord(r.Grade), r.Grade[1], r.Grade[0], r.Grade[2])
	s.line("INCI       %s (%s)", strings.Join(r.INCI, "; "), strings.Join(r.CI, ", "))
	s.line("Worn on    %s", strings.Join(r.Areas, ", "))
	if r.Doubt > 0 {
		more := when(r.Wanted == nil, "; a --photo of a smear would tell more")
		s.line("Doubt      95 in 100 jars described so smear within ΔE00 %.1f of this%s", r.Doubt, more)
	}
	s.line("Test smear %s on black, towards the lamp %s", labText(r.OnBlack.Lab), brightText(r.OnBlack.Bright))
	s.added(r.Added, r.Name)
	if r.Added == nil {
		s.paragraph("Its row    %s", strings.TrimSpace(r.Row))
	}
	s.notes(r.Notes)
}

// AddInput is a powder nobody has measured, as its jar describes it.
type AddInput struct {
	Name    string
	INCI    string     // of its label
	CI      string     // of its label
	Areas   string     // "body;eyes", as its label allows; blank by the law and its size
	Like    string     // a powder of the drawer or the built-in one, a family or a word: "gold"
	Size    string     // "10-60", µm; blank keeps that of Like, of a family its middle one
	Colour  string     // a word, or the colour of a smear, as ReadColour takes it; may be left out
	Photo   PhotoInput // or a photo of the smear
	On      string     // what it is smeared on: black, white or a card's colour; default black
	White   string     // the same smear over white: its colour, or its area in the photo
	Drawer  string     // the drawer; blank only shows what would be added
	Lot     string
	Price   float64 // per g
	Paid    float64 // for all of it, instead of Price
	Grams   float64 // on hand
	Replace bool
	Sure    bool // of a label with a substance nobody knows
}

// AddResult is a powder guessed from its description.
type AddResult struct {
	Name      string      `json:"name"`
	Like      string      `json:"like"`
	Family    string      `json:"family"`
	INCI      []string    `json:"inci"` // name=percent, with ~ for = where the share is estimated
	CI        []string    `json:"ci"`
	Areas     []string    `json:"areas"`
	Coat      string      `json:"coat,omitempty"` // inner first
	Substrate float64     `json:"substrateNm,omitempty"`
	Grade     [3]float64  `json:"gradeUm"`             // d10, d50, d90
	Source    string      `json:"source"`              // guessed
	CoatDoubt float64     `json:"coatDoubt,omitempty"` // standard error of the coat's thickness, a share
	Doubt     float64     `json:"doubtDeltaE00"`       // of the test smear, 95 in 100
	Wanted    *colour.Lab `json:"smearLab,omitempty"`
	Found     *colour.Lab `json:"foundLab,omitempty"` // of the guessed powder, smeared
	DeltaE00  float64     `json:"deltaE00,omitempty"`
	SmearMg   float64     `json:"smearMgCm2,omitempty"` // how thick the smear seems to be
	OnBlack   SmearView   `json:"onBlack"`              // a test smear over a black card
	Words     []string    `json:"words"`
	Row       string      `json:"row,omitempty"` // as the drawer holds it
	Added     *AddedView  `json:"added,omitempty"`
	Notes     []string    `json:"notes,omitempty"`
}

// nameHint is a name a drawer takes, for whoever gave none.
const nameHint = "pale gold (new)"

// Add guesses a powder from its label, its size and its colour, and puts it into
// a drawer.
func Add(env *Env, in AddInput) (*AddResult, error) {
	r := &AddResult{Source: string(palette.Guessed), CoatDoubt: jar.WordDoubt}
	var faults Faults
	if err := palette.CheckName(strings.TrimSpace(in.Name)); err != nil {
		faults.Note(inputf("{name} %q: %w, such as '%s'", table.Clip(in.Name), err, nameHint))
	}
	label, err := in.label()
	if faults.Note(err); err != nil {
		label = &jar.Label{} // one that could not be read
	}
	var areas []palette.Area // where it is said to be allowed
	if in.Areas != "" {
		if areas, err = palette.ParseAreas(in.Areas); err != nil {
			faults.Note(inputf("{areas}: %w; %s, are accepted", err, palette.AreasForm))
		}
	}
	in.Price, err = perGram(in.Price, in.Paid, in.Grams)
	faults.Note(err)
	built, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		return nil, err
	}
	w, word, err := in.look(env, label, built)
	faults.Note(err)
	if err == nil || in.Size != "" {
		w.Size, err = in.sizes(r, w.Alike, word)
		faults.Note(err)
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	var wanted *colour.Reading
	if !word || in.Photo.File != "" {
		if wanted, err = in.wanted(env, r); err != nil {
			return nil, err
		}
	}
	if wanted != nil {
		if w.Smear, err = in.smeared(env, *wanted); err != nil {
			return nil, err
		}
	}
	like, off, err := w.Like()
	if err != nil && label != nil && label.Meant() != "" {
		return nil, of("inci", inputf("%s With what is on the label %w", label.Meant(), err))
	}
	if err != nil {
		return nil, input(err)
	}
	if word && like.Substrate == 0 && !slices.ContainsFunc(w.Alike, func(g *palette.Pigment) bool { return g.Name == like.Name }) {
		r.Words = append(r.Words, fmt.Sprintf("the colour %s was not used: an ordinary pigment's is that of what the label names", table.Clip(in.Colour)))
	}
	if off > 0 {
		r.CoatDoubt = math.Hypot(r.CoatDoubt, jar.MisfitDoubt*off)
		r.Words = append(r.Words, fmt.Sprintf("no powder of just these substances is listed as %s: guessed is the nearest they make to %s, ΔE00 %.1f off it", orElse(w.Said, "that"), jar.Middling(w.Alike).Name, off))
	}
	p := *jar.Graded(like, w.Size)
	p.Assumed = nil
	p.Name, p.Source, p.Lot, p.PricePerG, p.StockG = strings.TrimSpace(in.Name), palette.Guessed, in.Lot, in.Price, in.Grams
	r.Name, r.Like, r.Family, r.Grade = p.Name, like.Name, p.Family, [3]float64{p.D10, p.D50, p.D90}
	coat, substrate, err := env.coatOf(like, in.Drawer)
	if err != nil {
		return nil, err
	}
	var note *palette.FitNote
	switch {
	case coat != "":
		if p.Spectrum != "" { // measured: its coat is that of the note
			p.Substrate = jar.SubstrateFor(w.Size, substrate, like)
		}
		if err := r.guess(w, &p, coat, wanted, orElse(in.On, "black")); err != nil {
			return nil, err
		}
	case wanted != nil:
		return nil, inputf("%s is no coated flake, and how an ordinary pigment absorbs and scatters does not follow from one colour; draw it down and use tawny fit, or leave the colour out", like.Name)
	default:
		// Taken as it is, with its spectrum beside the drawer.
		note = &palette.FitNote{Powder: p.Name, Lot: p.Lot, Date: env.today(), Method: "taken over from " + like.Name, StrengthError: math.Hypot(0.25, p.StrengthDoubt()), Source: palette.Guessed}
		r.Words = append(r.Words, "taken over from "+like.Name+" as it is")
		if in.Size != "" {
			r.Notes = append(r.Notes, fmt.Sprintf("the size is noted in the drawer, but the colour stays that of %s: how an ordinary pigment absorbs and scatters changes with its grains in ways the size does not tell; draw it down and use tawny fit", like.Name))
		}
	}
	in.printed(r, label, areas, &p)
	if err := r.show(&p); err != nil {
		return nil, err
	}
	if label != nil && label.Flake() {
		near, err := nearestListed(built, r.OnBlack.Lab)
		if err != nil {
			return nil, err
		}
		p.Family, r.Like, r.Family = near.Family, near.Name, near.Family
	}
	if in.Drawer == "" && env.own() == "" {
		r.Row = strings.Join(p.Row(), ",")
		r.Notes = append(r.Notes, "nothing was written; --drawer drawer.csv adds it")
		return r, nil
	}
	if label != nil && len(label.Unknown()) > 0 && !in.Sure {
		return nil, inputf("%s With {yes} the powder goes in, for the body only unless {areas} says that its label allows more", label.Meant())
	}
	return r, env.inDrawer(in.Drawer, func(env *Env, drawer string) error {
		r.Added, r.Row, err = putPowder(env, drawer, &p, note, in.Replace)
		return err
	})
}

// label is the jar's, nil where nothing of it is given.
func (in AddInput) label() (*jar.Label, error) {
	if strings.TrimSpace(in.INCI+in.CI) == "" {
		return nil, nil
	}
	l, err := jar.Parse(in.INCI, in.CI)
	if errors.Is(err, jar.ErrNumber) {
		return nil, of("ci", input(err))
	}
	return l, of("inci", input(err))
}

// look finds the powders that it is said to be like: by {like}, by the word for
// its colour, by its name, or with a smear's colour all that its label allows. word
// tells that the colour is a word, and no reading.
func (in AddInput) look(env *Env, label *jar.Label, built *palette.Drawer) (w *jar.Powder, word bool, err error) {
	w = &jar.Powder{Label: label}
	var drawer *palette.Drawer
	if in.Drawer != "" && env.isFile(in.Drawer) {
		if drawer, err = env.OpenDrawer(in.Drawer, film.DefaultIndex); err != nil {
			return w, false, err
		}
	}
	var byWord []*palette.Pigment
	if in.Colour != "" && colour.InWords(in.Colour) {
		if powder := jar.PowderOf(in.Colour); powder != "" {
			byWord, err = findAlike(powder, nil, film.DefaultIndex)
		} else {
			byWord, err = findAlike(in.Colour, drawer, film.DefaultIndex)
		}
		word = err == nil
	}
	switch {
	case strings.TrimSpace(in.Like) != "":
		w.Said = in.Like
		w.Alike, err = findAlike(in.Like, drawer, film.DefaultIndex)
		return w, word, err
	case word:
		w.Alike, w.Said = byWord, in.Colour
		return w, true, nil
	case label == nil:
		return w, false, faultf("inci", "is empty, so nothing says what it is: give it as the label has it, or with {like} a powder or a family it is like")
	case in.Colour != "" || in.Photo.File != "":
		for _, g := range built.Pigments {
			if label.Flake() == (g.Substrate > 0) {
				w.Alike = append(w.Alike, g)
			}
		}
		return w, false, nil
	}
	said, powder := jar.Word(in.Name)
	if said == "" {
		return w, false, faultf("colour", "is empty, so nothing says its colour: a word such as rose or bronze is accepted, a # colour, a {photo} of a smear, or a {name} with the word in it")
	}
	w.Said = said
	w.Alike, err = findAlike(powder, nil, film.DefaultIndex)
	return w, true, err
}

// nearestListed is the built-in flake that looks most like a test smear over
// black.
func nearestListed(built *palette.Drawer, lab colour.Lab) (best *palette.Pigment, err error) {
	least := math.Inf(1)
	for _, g := range built.Pigments {
		if g.Substrate == 0 {
			continue
		}
		v, err := smear(g, blackCard, film.DefaultIndex)
		if err != nil {
			return nil, input(err)
		}
		if off := colour.DeltaE00(v.Lab, lab); off < least {
			best, least = g, off
		}
	}
	return best, nil
}

// printed puts what the label prints on the powder, with estimates for what it
// does not, and says which those are; areas are those it is said to allow.
func (in AddInput) printed(r *AddResult, label *jar.Label, areas []palette.Area, p *palette.Pigment) {
	if label != nil {
		p.INCI = label.Shares(p)
		var number string
		if p.CI, number = label.Numbers(); number != "" {
			p.Assumed = append(p.Assumed, number)
		}
		p.Areas = label.Areas(p.D90)
		estimated := slices.ContainsFunc(p.INCI, func(i palette.Ingredient) bool { return i.Estimated })
		unmodelled := strings.Join(label.Unmodelled(), ", ")
		r.Notes = append(r.Notes, nonEmpty(
			when(estimated, "shares marked ~ are estimates by the thickness of mica and coat; the supplier's data sheet goes before them"),
			around("", label.Meant(), " Whether it may be worn is not known either: ask its supplier, and let a safety assessor decide"),
			around("the label names iron oxides without a number: ", number, " is assumed, of the red 77491, yellow 77492 and black 77499, and keeps labels of the Union a DRAFT until --ci, or 'tawny drawer edit' with it, gives what the jar or its supplier says"),
			when(label.Flake(), around("what ", unmodelled, " does to the colour is not modelled; a smear's colour, or better a drawdown, tells")),
			when(label.Flake() && !strings.EqualFold(label.Plate, "mica"), label.Plate+" is taken to do to light what mica does"),
			fmt.Sprintf("densities and oil absorption are those of %s: 'tawny drawer edit' writes the supplier's where you know them", r.Like))...)
	} else {
		p.INCI = slices.Clone(p.INCI)
		for i := range p.INCI {
			p.INCI[i].Estimated = len(p.INCI) > 1
		}
		p.Areas = []palette.Area{palette.Body} // what is in it is not known
		r.Notes = append(r.Notes, fmt.Sprintf("what is in it is not given, so it is for the body only; INCI, densities and oil absorption are those of %s, and its products' labels would be too: --inci as your jar's label has it, and the supplier's figures, go before them", r.Like))
	}
	if areas != nil {
		p.Areas = areas
		for _, a := range areas {
			if label != nil && !slices.Contains(label.Areas(0), a) {
				r.Notes = append(r.Notes, fmt.Sprintf("one of its colours may not be worn on the %s in the US, whatever its label says: a batch for there is stopped", a))
			}
		}
	} else if label != nil && len(p.Areas) > 1 {
		beside := spelt(p.Areas[1:])
		p.Assumed = append(p.Assumed, beside...)
		r.Notes = append(r.Notes, fmt.Sprintf("that it may be worn on %s follows from its ingredients alone, and powders for crafts have the same: its supplier must say that this jar is fit for it, and labels for there are a DRAFT until --areas, or 'tawny drawer edit' with it, says so", strings.Join(beside, " and ")))
	} else if label != nil && p.D90 > jar.CoarsestUM {
		r.Notes = append(r.Notes, fmt.Sprintf("flakes to %g µm: for the body only, unless --areas says that its label allows more", p.D90))
	}
	for _, i := range p.INCI {
		r.INCI = append(r.INCI, i.String())
	}
	r.CI, r.Areas = p.CI, spelt(p.Areas)
}

// sizes is the size that was given; else that of the powder it is like, or of
// a family's middle one or what a word looks like, which is noted.
func (in AddInput) sizes(r *AddResult, alike []*palette.Pigment, word bool) (d [3]float64, err error) {
	if in.Size != "" {
		d[0], d[1], d[2], err = drawdown.ParseGrade(in.Size)
		if err != nil {
			err = of("size", inputf("{size} %w", err))
		}
		return d, err
	}
	m := jar.Middling(alike)
	if (len(alike) > 1 || word) && m.Substrate > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("no size was given; %.3g to %.3g µm was assumed, as of %s; --size 10-60 sets it", m.D10, m.D90, m.Name))
		return [3]float64{m.D10, m.D50, m.D90}, nil
	}
	return d, nil
}

// guess settles the coat of a flake; on is what it was smeared on.
func (r *AddResult) guess(w *jar.Powder, p *palette.Pigment, coat string, wanted *colour.Reading, on string) (err error) {
	p.Spectrum, p.Layers = "", nil
	if coat != palette.Bare {
		if p.Layers, err = flake.ParseLayers(coat); err != nil {
			return input(err)
		}
	}
	if wanted == nil {
		if len(r.Words) == 0 {
			r.Words = append(r.Words, "guessed from words and size alone: the coat is that of "+r.Like)
		}
		return nil
	}
	best, err := w.Coat(p, r.Like)
	if err != nil {
		return input(err)
	}
	r.Wanted, r.Found, r.DeltaE00, r.SmearMg = &wanted.Lab, &best.Lab, best.DeltaE00, best.Mass
	r.CoatDoubt = math.Hypot(r.CoatDoubt, jar.MisfitDoubt*best.DeltaE00)
	r.Words = append(r.Words, fmt.Sprintf("a coat of %s comes to ΔE00 %.1f of the smear's colour; it seems to be %.2g mg/cm² thick, on %s", flake.FormatLayers(best.Coats), best.DeltaE00, best.Mass, on))
	r.Words = append(r.Words, nonEmpty(
		when(best.DeltaE00 > jar.FarOff, "that is far off: treat this powder's colour as hardly known"),
		when(best.AtEdge, fmt.Sprintf("the coat is as far from that of %s as is tried; another powder may be more like it", r.Like)))...)
	return nil
}

// wanted is the smear's colour, or nil where none was given.
func (in AddInput) wanted(env *Env, r *AddResult) (*colour.Reading, error) {
	switch {
	case in.Colour != "" && in.Photo.File != "":
		return nil, inputf("a colour and a photo are both given; one is accepted")
	case in.Colour != "":
		c, err := env.ReadColour(in.Colour)
		if err != nil {
			return nil, of("colour", inputf("%w; or a word: %s", err, strings.Join(jar.Words(), ", ")))
		}
		if c.Viewing == nil {
			c.Viewing = colour.D65
		}
		if r.CoatDoubt = jar.SmearDoubt; strings.HasPrefix(strings.TrimSpace(in.Colour), "#") {
			r.CoatDoubt = jar.ScreenDoubt
		}
		return &c.Reading, nil
	case in.Photo.File != "":
		photo, err := Photo(env, in.Photo, "area")
		if err != nil {
			return nil, err
		}
		for _, a := range photo.Areas {
			r.Notes = append(append(r.Notes, a.Why...), a.Warnings...)
		}
		r.Notes = append(r.Notes, photo.Notes...)
		r.CoatDoubt = math.Hypot(jar.SmearDoubt, jar.MisfitDoubt*photo.Repeat)
		return &photo.mean, nil
	case in.White != "":
		return nil, faultf("over-white", "is a second look at a smear; {colour} or {photo} gives the first, over black")
	}
	return nil, nil
}

// show fills in what the powder looks like.
func (r *AddResult) show(p *palette.Pigment) (err error) {
	r.Coat, r.Substrate = flake.FormatLayers(p.Layers), p.Substrate
	if p.Spectrum == "" {
		r.Coat = orElse(r.Coat, palette.Bare)
		if err := (&palette.Drawer{Pigments: []*palette.Pigment{p}}).ComputeOptics(film.DefaultIndex); err != nil {
			return input(err)
		}
	}
	if r.OnBlack, err = smear(p, blackCard, film.DefaultIndex); err != nil {
		return input(err)
	}
	if r.CoatDoubt = math.Round(1000*r.CoatDoubt) / 1000; len(p.Layers) == 0 {
		r.CoatDoubt = 0
		return nil
	}
	// Not surer of it than of the one smear that is known.
	for {
		if r.Doubt, err = smearSpread(p, r.CoatDoubt, r.OnBlack.Lab); err != nil {
			return input(err)
		}
		if r.Doubt >= r.DeltaE00 || r.CoatDoubt >= mostDoubt {
			break
		}
		r.CoatDoubt = min(mostDoubt, math.Round(1100*r.CoatDoubt)/1000)
	}
	// Word or smear say what it looks like: a coat of quite another colour is not meant.
	for r.Doubt > jar.Hopeless && r.CoatDoubt > jar.SmearDoubt {
		r.CoatDoubt = max(jar.SmearDoubt, math.Round(900*r.CoatDoubt)/1000)
		if r.Doubt, err = smearSpread(p, r.CoatDoubt, r.OnBlack.Lab); err != nil {
			return input(err)
		}
	}
	p.Doubt, r.Doubt = r.CoatDoubt, max(r.Doubt, r.DeltaE00)
	return nil
}

// mostDoubt leaves some coat at 95 in 100.
const mostDoubt = 0.5

// smearSpread is how far a test smear may be from the colour lab where the coats are
// known to doubt, ΔE00 in 95 of 100.
func smearSpread(p *palette.Pigment, doubt float64, lab colour.Lab) (most float64, err error) {
	for _, by := range [2]float64{1 + 1.96*doubt, 1 - 1.96*doubt} {
		q := *p
		q.Layers = slices.Clone(p.Layers)
		for i := range q.Layers {
			q.Layers[i].ThicknessNM *= by
		}
		if err := (&palette.Drawer{Pigments: []*palette.Pigment{&q}}).ComputeOptics(film.DefaultIndex); err != nil {
			return 0, err
		}
		off, err := smear(&q, blackCard, film.DefaultIndex)
		if err != nil {
			return 0, err
		}
		most = max(most, colour.DeltaE00(off.Lab, lab))
	}
	return most, nil
}

// smeared is the smear of a colour on its ground, and over white where that was
// read too.
func (in AddInput) smeared(env *Env, wanted colour.Reading) (*drawdown.Smear, error) {
	s, err := env.smeared(in.On, wanted)
	if err != nil || in.White == "" {
		return s, err
	}
	other := in
	other.White = ""
	if other.Photo.File != "" {
		other.Photo.Areas = []string{in.White}
	} else {
		other.Colour = in.White
	}
	over, err := other.wanted(env, &AddResult{})
	if err != nil {
		return nil, err
	}
	also, err := env.smeared("white", *over)
	if err != nil {
		return nil, err
	}
	s.And(also)
	return s, nil
}

// smeared is the smear of a colour on the ground it was rubbed on.
func (e *Env) smeared(on string, wanted colour.Reading) (*drawdown.Smear, error) {
	s, err := drawdown.NewSmear(wanted)
	if err != nil {
		return nil, err
	}
	var ground colour.Spectrum
	switch strings.ToLower(strings.TrimSpace(on)) {
	case "", "black":
		ground = colour.Constant(jar.BlackCard + s.Mirror())
	case "white":
		ground = colour.Constant(jar.WhiteCard + s.Mirror())
	default:
		c, err := e.ReadColour(on)
		if err != nil {
			return nil, inputf("smeared on %q: %w; or black or white", on, err)
		}
		if c.Geometry != wanted.Geometry {
			return nil, inputf("the smear: %s; what it is on: %s; one kind is accepted", wanted.Geometry.Words(), c.Geometry.Words())
		}
		if ground, _, err = drawdown.Reflectance(c.Reading, s.Mirror()); err != nil {
			return nil, inputf("smeared on %q: %w", on, err)
		}
	}
	if err := s.On(ground); err != nil {
		return nil, inputf("smeared on %q: %w", on, err)
	}
	return s, nil
}
