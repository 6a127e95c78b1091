package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

var drawerAddJob = &Job{
	Name:  "drawer add",
	Short: "Add a powder you have no measurements of",
	Long: `Guesses what a powder does to light from what it is like and its size grade,
and, where there is one, the colour of a smear rubbed on black card: the coat's
thickness is changed until the modelled smear has that colour. The powder is
marked guessed; tawny fit replaces it once it has been drawn down.

A # colour and a photo are taken as seen off the gloss, lab:… as its /di, /de,
/45 or /photo says. Without --drawer nothing is written.`,
	Example: "  tawny drawer add --like 'pale gold' --grade 10-60 --name 'gold from the fair' --drawer drawer.csv\n" +
		"  tawny drawer add --like gold --colour lab:75,-6,26/de --name 'gold smear'\n" +
		"  tawny drawer add --like gold --photo testdata/photo/smear-demo.jpg --strip testdata/photo/strip-demo.csv@60,40,680,100 --area 500,280,160,160 --name 'gold smear'",
	New: func() Task {
		in := &AddInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			return Add(env, *in)
		},
			Group{Title: "Powder", Fields: []Field{
				{Name: "name", Words: "what to call it", To: &in.Name},
				{Name: "like", Words: "a powder it is like, or its family: silver, gold, bronze …", Lists: "powder", To: &in.Like},
				{Name: "grade", Words: "its sizes in µm: 10-60, or d10-d50-d90 (default that of the powder it is like, or a family's middle one)", To: &in.Grade},
				{Name: "lot", Words: "its lot", To: &in.Lot},
				{Name: "price", Words: "what a gram costs", High: 1e6, To: &in.Price},
				{Name: "stock", Words: "grams on hand", Unit: "g", High: 1e7, To: &in.Stock},
				{Name: "drawer", Words: "your drawer, a CSV file; made where there is none", Lists: "csv", To: &in.Drawer},
				{Name: "replace", Words: "in place of the powder of that name", To: &in.Replace},
			}},
			Group{Title: "Smear", Fields: append([]Field{
				{Name: "colour", Words: "the colour of a smear: lab:L,a,b, #rrggbb, file#sample …", To: &in.Colour},
				{Name: "on", Words: "what it is smeared on: black, white or a colour (default black)", To: &in.On},
				{Name: "photo", Words: "or a photo of the smear, marked with patch or strip and area", To: &in.Photo.File},
			}, in.Photo.markFields()...)})
	},
}

// Show writes the guess.
func (r *AddResult) Show(s *Screen) {
	s.line("%s%s: %s, like %s (%s)", s.patch(r.OnBlack.Hex), r.Name, r.Source, r.Like, r.Family)
	for _, w := range r.Words {
		s.fold("  ", w)
	}
	s.line("")
	if r.Wanted != nil {
		s.line("Smear      %s", labText(*r.Wanted))
		s.line("Guessed    %s", labText(*r.Found))
	}
	if r.Coat != "" {
		s.line("Coat       %s on %.0f nm mica", r.Coat, r.Substrate)
	}
	s.line("Grade      %s, %.3g µm (%.3g to %.3g)", GradeWords(r.Grade), r.Grade[1], r.Grade[0], r.Grade[2])
	s.line("Test smear %s on black, near the mirror %s", labText(r.OnBlack.Lab), labText(r.OnBlack.Bright))
	s.added(r.Added, r.Name)
	if r.Added == nil {
		s.line("")
		s.line("Its row    %s", strings.TrimSpace(r.Row))
	}
	s.notes(r.Notes)
}

// AddInput is a powder nobody has measured, as its bag describes it.
type AddInput struct {
	Name    string
	Like    string     // a powder of the drawer or the built-in one, or a family: "gold"
	Grade   string     // "10-60", µm; blank keeps that of Like, of a family its middle one
	Colour  string     // of a smear, as ReadColour takes it; may be left out
	Photo   PhotoInput // or a photo of the smear
	On      string     // what it is smeared on: black, white or a colour; default black
	Drawer  string     // the drawer; blank only shows what would be added
	Lot     string
	Price   float64 // per g
	Stock   float64 // g
	Replace bool
}

// AddResult is a powder guessed from its description.
type AddResult struct {
	Name      string      `json:"name"`
	Like      string      `json:"like"`
	Family    string      `json:"family"`
	Coat      string      `json:"coat,omitempty"` // inner first
	Substrate float64     `json:"substrateNm,omitempty"`
	Grade     [3]float64  `json:"gradeUm"` // d10, d50, d90
	Source    string      `json:"source"`  // guessed
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

// A guess this far off is not this coat, whatever the light and the camera.
const farOff, hopeless = 5.0, 15.0 // ΔE00

// nameHint is a name a drawer takes, for whoever gave none.
const nameHint = "pale gold (new)"

// Add guesses a powder from its family, grade and colour, and puts it into a
// drawer.
func Add(env *Env, in AddInput) (*AddResult, error) {
	if strings.TrimSpace(in.Like) == "" {
		return nil, inputf("nothing says what it is like; {like} 'pale gold' or a family such as gold is needed")
	}
	var drawer *palette.Drawer
	var err error
	if in.Drawer != "" && env.isFile(in.Drawer) {
		if drawer, err = env.OpenDrawer(in.Drawer, film.DefaultIndex); err != nil {
			return nil, err
		}
	}
	alike, err := findAlike(in.Like, drawer)
	if err != nil {
		return nil, err
	}
	r := &AddResult{Source: string(palette.Guessed)}
	wanted, err := in.wanted(env, r)
	if err != nil {
		return nil, err
	}
	size, err := in.sizes(r, alike)
	if err != nil {
		return nil, err
	}
	like := middling(alike)
	if wanted != nil && len(alike) > 1 {
		// All at the same size: one colour says nothing of it.
		same := make([]*palette.Pigment, len(alike))
		for i, g := range alike {
			same[i] = graded(g, size)
		}
		s, err := env.smeared(in.On, *wanted)
		if err != nil {
			return nil, err
		}
		n, err := s.Nearest(same)
		if err != nil {
			return nil, input(err)
		}
		like = alike[n]
	}
	p := *graded(like, size)
	p.Name, p.Source, p.Lot, p.PricePerG, p.StockG = strings.TrimSpace(in.Name), palette.Guessed, in.Lot, in.Price, in.Stock
	if p.Name == "" {
		return nil, inputf("it needs a name: {name} '%s'", nameHint)
	}
	if err := palette.CheckName(p.Name); err != nil {
		return nil, inputf("{name} %q: %w", table.Clip(p.Name), err)
	}
	r.Name, r.Like, r.Family, r.Grade = p.Name, like.Name, p.Family, [3]float64{p.D10, p.D50, p.D90}
	coat, substrate, err := env.coatOf(like, in.Drawer)
	if err != nil {
		return nil, err
	}
	var note *palette.FitNote
	switch {
	case coat != "":
		if p.Spectrum != "" { // measured: its coat is that of the note
			p.Substrate = substrateFor(size, substrate, like)
		}
		if err := r.guess(env, in, &p, coat, wanted); err != nil {
			return nil, err
		}
	case wanted != nil:
		return nil, inputf("%s is no coated flake, and an ordinary pigment's K and S do not follow from one colour; draw it down and use tawny fit, or leave the colour out", like.Name)
	default:
		// Taken as it is, with its spectrum beside the drawer.
		note = &palette.FitNote{Powder: p.Name, Lot: p.Lot, Date: env.today(), Method: "taken over from " + like.Name, StrengthError: 0.25, Source: palette.Guessed}
		r.Words = append(r.Words, "taken over from "+like.Name+" as it is")
		if in.Grade != "" {
			r.Notes = append(r.Notes, fmt.Sprintf("the grade is noted in the drawer, but the colour stays that of %s: how an ordinary pigment's K and S change with its grains does not follow from the grade; draw it down and use tawny fit", like.Name))
		}
	}
	if err := r.show(&p); err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, fmt.Sprintf("INCI shares, densities, oil absorption and areas are those of %s; put the supplier's in their place", like.Name))
	if in.Drawer == "" {
		r.Row = strings.Join(p.Row(), ",")
		r.Notes = append(r.Notes, "nothing was written; --drawer drawer.csv adds it")
		return r, nil
	}
	r.Added, r.Row, err = putPowder(env, in.Drawer, &p, note, in.Replace)
	return r, err
}

// sizes is the grade that was given; else that of the powder it is like, or of
// a family's middle one, which is noted.
func (in AddInput) sizes(r *AddResult, alike []*palette.Pigment) (d [3]float64, err error) {
	if in.Grade != "" {
		d[0], d[1], d[2], err = drawdown.ParseGrade(in.Grade)
		return d, input(err)
	}
	m := middling(alike)
	if len(alike) > 1 && m.Substrate > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("no grade was given; %.3g to %.3g µm was assumed, as of %s; --grade 10-60 sets it", m.D10, m.D90, m.Name))
		return [3]float64{m.D10, m.D50, m.D90}, nil
	}
	return d, nil
}

// graded is a powder in another size; a size of 0 leaves it as it is.
func graded(g *palette.Pigment, size [3]float64) *palette.Pigment {
	p := *g
	if size[1] == 0 {
		return &p
	}
	p.Substrate = substrateFor(size, p.Substrate, g)
	p.D10, p.D50, p.D90 = size[0], size[1], size[2]
	return &p
}

// substrateFor is how thick the mica of a flake of another size is: coarse
// grades are cut from thicker mica, as in the built-in drawer. A size of 0, or
// that of the powder it is like, keeps own.
func substrateFor(size [3]float64, own float64, like *palette.Pigment) float64 {
	switch {
	case own == 0 || size[1] == 0 || size == [3]float64{like.D10, like.D50, like.D90}:
		return own
	case size[1] < 12:
		return 300
	case size[1] >= 40:
		return 550
	}
	return 400
}

// guess settles the coat of a flake.
func (r *AddResult) guess(env *Env, in AddInput, p *palette.Pigment, coat string, wanted *colour.Reading) (err error) {
	p.Spectrum, p.Layers = "", nil
	if coat != palette.Bare {
		if p.Layers, err = flake.ParseLayers(coat); err != nil {
			return input(err)
		}
	}
	if wanted == nil {
		r.Words = append(r.Words, "guessed from its family and grade alone: the coat is that of "+r.Like)
		return nil
	}
	if len(p.Layers) == 0 {
		return inputf("%s has no coat to fit to a colour; leave the colour out, or name another powder it is like", r.Like)
	}
	s, err := env.smeared(in.On, *wanted)
	if err != nil {
		return err
	}
	best, err := s.Guess(p)
	if err != nil {
		return input(err)
	}
	p.Layers = best.Coats
	r.Wanted, r.Found, r.DeltaE00, r.SmearMg = &wanted.Lab, &best.Lab, best.DeltaE00, best.Mass
	if best.DeltaE00 > hopeless {
		return inputf("no coat like that of %s comes nearer the smear's colour than ΔE00 %.0f; check what it is like, what it was smeared on ({on}) and the colour", r.Like, best.DeltaE00)
	}
	r.Words = append(r.Words, fmt.Sprintf("a coat of %s comes to ΔE00 %.1f of the smear's colour, taken as %.2g mg/cm² on %s", flake.FormatLayers(best.Coats), best.DeltaE00, best.Mass, orElse(in.On, "black")))
	if best.DeltaE00 > farOff {
		r.Words = append(r.Words, "that is far off: treat this powder's colour as hardly known")
	}
	if best.AtEdge {
		r.Words = append(r.Words, fmt.Sprintf("the coat is as far from that of %s as is tried; another powder may be more like it", r.Like))
	}
	return nil
}

// middling returns the powder of the middle grade, the first of several; of
// ordinary pigments the first, since their grades go with their colours.
func middling(list []*palette.Pigment) *palette.Pigment {
	if list[0].Substrate == 0 {
		return list[0]
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b *palette.Pigment) int { return cmp.Compare(a.D50, b.D50) })
	middle := sorted[(len(sorted)-1)/2].D50
	for _, g := range list {
		if g.D50 == middle {
			return g
		}
	}
	return list[0]
}

// wanted is the smear's colour, or nil where none was given.
func (in AddInput) wanted(env *Env, r *AddResult) (*colour.Reading, error) {
	switch {
	case in.Colour != "" && in.Photo.File != "":
		return nil, inputf("a colour and a photo are both given; one is accepted")
	case in.Colour != "":
		c, err := env.ReadColour(in.Colour)
		if err != nil {
			return nil, err
		}
		if c.Viewing == nil {
			c.Viewing = colour.D65
		}
		return &c.Reading, nil
	case in.Photo.File != "":
		photo, err := Photo(env, in.Photo)
		if err != nil {
			return nil, err
		}
		if photo.Reading == "" {
			return nil, inputf("nothing is marked in %s; give {patch} or {strip} and {area}", in.Photo.File)
		}
		for _, a := range photo.Areas {
			r.Notes = append(r.Notes, a.Warnings...)
		}
		r.Notes = append(r.Notes, photo.Notes...)
		mean := photo.mean
		return &mean, nil
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
	r.OnBlack, err = smear(p, blackCard)
	return input(err)
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
		ground = colour.Constant(0.03 + s.Mirror()) // black card without its gloss (from memory)
	case "white":
		ground = colour.Constant(0.80 + s.Mirror()) // plain paper or card (from memory)
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
