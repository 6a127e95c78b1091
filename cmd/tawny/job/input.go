package job

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/colour/table"
)

// Input is what the jobs share, as a maker writes it. The zero value of each
// field takes the default given.
type Input struct {
	Skin   string
	Site   string  // where the skin is; default not said
	Repeat float64 // how well the skin's reading repeats, ΔE00; default by its kind
	Target string
	Gleam  string // a word, "A..B" or none; default the least that is a shimmer
	Grain  string // satin, pearl, sparkle or any; default any

	Parts []string // a stated blend, "name=percent of the product"; none is matched
	Title string   // of the blend
	Rank  int      // which of the blends found; default the best, 1

	Load        float64 // % w/w exactly; default 3 where neither Load nor LoadMax is given
	LoadMax     float64 // % w/w at most, instead of Load
	LoadMin     float64 // % w/w at least, with LoadMax
	Apply       string  // a coverage's name or mg/cm²; default smoothed
	Tilt        float64 // spread of flake tilt, degrees; default that of the coverage
	SurfaceTilt float64 // of Tilt, what the film's surface tilts with its flakes, degrees; 0 is flat
	ApplySpread float64 // how much the amount put on varies, one standard error in %; default 25
	Most        int     // powders in a blend; default 3
	Keep        int     // blends reported; default 5
	Twins       bool    // show the blends folded under those reported

	Drawer      string // CSV file; default the built-in drawer
	AlsoBuiltin bool   // and the built-in one's powders beside it
	Only        []string
	Without     []string
	Must        []string
	AtMost      []string // "name=percent"
	AtLeast     []string // "name=percent"
	Area        string   // body, eyes or lips; default body
	InStock     bool     // keep to the grams on hand for the batch
	CostMax     float64  // powders of 100 g of product

	Base       string // a base's name or CSV file; default Everyday lotion
	Grams      float64
	Containers int
	ML         float64 // of one container
	Balance    float64 // its step, g; default 0.01

	Bench Bench // what only the batch sheet needs

	Illuminant string   // seen under; default D65
	Observer   string   // default 2
	Second     string   // the light to compare with; default stage
	BothLights bool     // match under both lights together
	See        []string // "diffuse=1", "45=0.5": directions to match with weights

	phWas                string          // before something was put in to set it; blank where nothing was
	ph                   float64         // measured in a batch that was made; 0 not known
	weighOnly            bool            // the skin may be left out: a batch sheet then predicts nothing
	held                 []batch.Finding // of lots of a batch that was made which are held back
	notWeighed           []string        // what of it is not weighed
	made                 *standing       // the batch of the book that it is of; nil for a recipe
	lines                []string        // powders of a batch that was made: those its drawer has not are the built-in's
	demo                 bool
	spareBlack           bool            // of a warm and a cool version, see search.Shimmer
	demoDancer, demoLook string          // where the invented data filled in
	shadeThen            *colour.Reading // what a target in words was of a batch in the book; nil works it out

	env *Env // what the face lends
}

// Defaults of Input.
const (
	DefaultLoad    = 3.0 // % w/w; 1 to 5 is usual in body lotion (common practice)
	sprayLoad      = 0.6 // % w/w; 0.3 to 1 is usual in a spray (common practice)
	DefaultBase    = "Everyday lotion"
	DefaultGrams   = 100.0
	DefaultBalance = 0.01 // g, a small kitchen or pocket balance
)

// ready is the input with what the face lends it, the demo filled in.
func (in Input) ready(env *Env) (Input, error) {
	in.env = env
	if env.Drawers != nil {
		if in.Drawer != "" && in.Drawer != env.Drawers.Path {
			return in, faultf("drawer", "is not to be chosen here; the one this was begun with is used")
		}
		in.Drawer = env.Drawers.inUse()
	}
	if in.demo {
		return in.Demo()
	}
	return in, nil
}

// lent is what the face lends: nothing where it lent nothing.
func (in Input) lent() *Env {
	if in.env == nil {
		return &Env{}
	}
	return in.env
}

// setting is an Input with its words looked up.
type setting struct {
	in        Input
	skin      skin.Skin
	base      batch.Base
	optics    film.Base
	drawer    *palette.Drawer
	notes     []string // of what it was opened with, for a match and a batch sheet
	viewing   *colour.Viewing
	second    *colour.Viewing
	apply     float64
	coverage  string // its name, or ""
	weighOnly bool   // no skin was given: predict nothing
	tilt      float64
	quick     bool // leave the uncertainty out: it takes as long as all the rest
	doubts    doubts
	barred    string // which powders a rule keeps out of the product, and why
}

// open looks up everything but the target.
func (in Input) open() (*setting, error) {
	s := &setting{in: in}
	var err error
	if s.viewing, s.second, err = in.lights(); err != nil {
		return nil, err
	}
	if s.apply, s.coverage, s.tilt, err = application(in.Apply); err != nil {
		return nil, err
	}
	if in.Tilt != 0 {
		s.tilt = in.Tilt
	}
	if most := film.MostSurface(s.tilt); in.SurfaceTilt > most {
		return nil, faultf("surface-tilt", "is %g°; a film's surface shares up to 0.8 of its flakes' tilt of %.3g°: 0 to %.3g° is accepted here", in.SurfaceTilt, s.tilt, most)
	}
	if s.base, err = in.lent().base(in.Base); err != nil {
		return nil, err
	}
	if in.made != nil {
		s.base = s.base.AsWeighed(in.made.rest, in.made.grams)
	}
	if s.base.Kind.Sprayed() && in.Load == 0 && in.LoadMax == 0 {
		s.in.Load = sprayLoad
	}
	s.optics.Index = cmp.Or(s.base.Refraction, film.DefaultIndex)
	if s.weighOnly = in.weighOnly && in.Skin == ""; s.weighOnly {
		in.Skin = "intermediate" // any will do; nothing of it is shown
	}
	if strings.TrimSpace(in.Skin) == "" {
		d := in.lent().doc
		batch := when(d != nil && d.Field("batch") != nil, "; or {batch} for one in the book")
		return nil, inputf("no skin; give {skin} as a preset (%s), lab:L,a,b, #rrggbb, a reflectance file or client:NAME%s", listed(skin.Presets(), ", ", func(p skin.Skin) string { return p.Name }), batch)
	}
	if s.skin, s.doubts.se, err = in.openSkin(); err != nil {
		return nil, of("skin", err)
	}
	site, err := skin.ParseSite(in.Site)
	if err != nil {
		return nil, input(err)
	}
	if site != skin.Anywhere {
		if s.skin, err = s.skin.At(site); err != nil {
			return nil, input(err)
		}
	}
	s.skin.Name = colourWords(s.skin.Name)
	return s, s.lessMirror()
}

// lessMirror says where a skin returns so little that less than the whole of a
// surface's reflection can be in it.
func (s *setting) lessMirror() error {
	ground := s.ground()
	f, err := film.Kept(film.Lay{Index: s.optics.Index, TiltDeg: s.tilt})
	if err != nil {
		return input(err)
	}
	under, err := f.Ground(ground.Geometry.Assumed(), &ground.Reflectance)
	if err != nil {
		return input(fmt.Errorf("bare skin: %w", err))
	}
	if share := under.Mirror; share < 1 {
		s.skin.Note = strings.TrimSpace(s.skin.Note + fmt.Sprintf(" It returns so little at some wavelengths that only %.0f %% of the usual surface reflection can be in it; so much was taken off.", 100*share))
	}
	return nil
}

// lights are the one seen under and the one to compare with: stage, which says
// nothing beside itself, so that a job seen under it is compared with daylight.
func (in Input) lights() (first, second *colour.Viewing, err error) {
	if first, err = in.lent().viewing(in.Illuminant, in.Observer); err != nil {
		return nil, nil, err
	}
	other := orElse(strings.TrimSpace(in.Second), "stage")
	if strings.EqualFold(other, "stage") && first.Illuminant.Name == "stage" {
		other = "D65"
	}
	second, err = in.lent().viewing(other, in.Observer)
	return first, second, err
}

// openDrawer computes the drawer, the slow part, for jobs that need it.
func (s *setting) openDrawer() (err error) {
	if s.drawer != nil {
		return nil
	}
	s.drawer, err = s.in.openDrawer(s.optics.Index)
	if err == nil && s.in.InStock && !s.in.demo {
		err = s.stockFromLots()
	}
	return err
}

// openDrawer opens what the powders are chosen from, and what else a batch is of.
func (in Input) openDrawer(binder float64) (*palette.Drawer, error) {
	own, err := in.lent().OpenDrawer(in.Drawer, binder)
	if err != nil || in.Drawer == "" {
		return own, err
	}
	elsewhere := slices.DeleteFunc(slices.Clone(in.lines), func(name string) bool {
		_, err := own.Find(name)
		return err == nil
	})
	if !in.AlsoBuiltin && len(elsewhere) == 0 {
		return own, nil
	}
	built, err := palette.Builtin(binder)
	if err != nil {
		return nil, err
	}
	if !in.AlsoBuiltin {
		built.Pigments = slices.DeleteFunc(built.Pigments, func(g *palette.Pigment) bool {
			return !slices.ContainsFunc(elsewhere, func(name string) bool { return strings.EqualFold(name, g.Name) })
		})
	}
	for _, g := range built.Pigments {
		g.Invented, g.StockG = true, 0 // none of them is at hand
	}
	return own.And(built), nil
}

// openBlend opens a request for a stated blend, with the powders of it.
func (in Input) openBlend() (*setting, []film.Part, error) {
	s, err := in.open()
	if err != nil {
		return nil, nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, nil, err
	}
	parts, err := s.parts(in.Parts)
	return s, parts, err
}

// targetIfSaid is the target of a request that may leave it out: nil then.
func (s *setting) targetIfSaid() (*target, error) {
	if s.in.Target == "" {
		return nil, nil
	}
	return s.target(s.in.Target)
}

func (e *Env) viewing(light, observer string) (*colour.Viewing, error) {
	l, err := e.light(orElse(light, "D65"))
	if err != nil {
		return nil, err
	}
	o, err := colour.ParseObserver(orElse(observer, "2"))
	if err != nil {
		return nil, input(err)
	}
	if l.Name == "D65" && o == colour.CIE1931 {
		return colour.D65, nil
	}
	return colour.NewViewing(l, o), nil
}

// light finds a light by name or, failing that, reads it from a file.
func (e *Env) light(name string) (colour.Illuminant, error) {
	l, err := colour.FindIlluminant(name)
	if err == nil || !strings.ContainsAny(name, "./\\") {
		return l, input(err)
	}
	data, err := e.read(name, table.MaxBytes)
	if err != nil {
		return l, err
	}
	l, err = colour.ParseIlluminant(name, bytes.NewReader(data))
	return l, input(err)
}

// application reads how thickly the product is worn.
func application(text string) (mg float64, name string, tilt float64, err error) {
	text = orElse(strings.ToLower(strings.TrimSpace(text)), "smoothed")
	mg, e := table.Finite(text)
	for _, c := range film.Coverages {
		if c.Name == text || e == nil && c.MgPerCM2 == mg {
			return c.MgPerCM2, c.Name, c.SigmaDeg, nil
		}
	}
	if e != nil || !(mg > 0 && mg <= film.MaxApply) {
		names := listed(film.Coverages, ", ", func(c film.Coverage) string { return c.Name })
		return 0, "", 0, inputf("application %q; %s, or more than 0 and at most %g mg/cm² is accepted", text, names, film.MaxApply)
	}
	return mg, "", film.TiltFor(mg), nil
}

// recipe reads the lines of a recipe's file.
func (e *Env) recipe(name string) (string, error) {
	data, err := e.read(name, table.MaxBytes)
	if err != nil {
		return "", err
	}
	text, err := table.Text(filepath.Base(name), bytes.NewReader(data), table.MaxBytes)
	return text, input(err)
}

// base finds a base by name, or reads it from a file.
func (e *Env) base(name string) (batch.Base, error) {
	name = orElse(name, DefaultBase)
	if recipe, ok := strings.CutPrefix(name, "recipe:"); ok {
		b, err := batch.ParseRecipe(recipe, "own recipe")
		return b, input(err)
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".csv":
		data, err := e.read(name, table.MaxBytes)
		if err != nil {
			return batch.Base{}, err
		}
		b, err := batch.ReadBase(bytes.NewReader(data), filepath.Base(name))
		return b, input(err)
	case ".txt":
		text, err := e.recipe(name)
		if err != nil {
			return batch.Base{}, err
		}
		b, err := batch.ParseRecipe(text, filepath.Base(name))
		return b, input(err)
	}
	b, err := batch.Find(name)
	if err != nil && e.isFolder(name) {
		err = fmt.Errorf("base %s is a folder; a CSV file, a recipe in a .txt file or a built-in base is accepted", name)
	}
	return b, input(err)
}

// loads returns the bounds of the load, % w/w.
func (in Input) loads() (lo, hi float64) {
	switch {
	case in.LoadMax > 0:
		return in.LoadMin, in.LoadMax
	case in.Load > 0:
		return in.Load, in.Load
	}
	return DefaultLoad, DefaultLoad
}

// area is where the product is worn.
func (s *setting) area() palette.Area { return palette.Area(orElse(s.in.Area, string(palette.Body))) }

// choice returns the maker's wishes about powders.
func (s *setting) choice() (c search.Choice, err error) {
	in := s.in
	c = search.Choice{Must: in.Must, Without: in.Without, Only: in.Only, CostPer100: in.CostMax, Area: s.area()}
	if in.InStock {
		c.InStock = s.batchGrams()
	}
	c.Limits = map[string]search.Limit{}
	for i, list := range [][]string{in.AtMost, in.AtLeast} {
		for _, item := range list {
			name, percent, err := amount(item, percents)
			if err != nil {
				return c, err
			}
			name = fold(name)
			limit := c.Limits[name]
			*[]*float64{&limit.AtMost, &limit.AtLeast}[i] = percent
			c.Limits[name] = limit
		}
	}
	s.bar(&c)
	return c, nil
}

// bar leaves out the powders of the drawer that a rule keeps out of the product,
// unless they are asked for by name or nothing else is there: the sheet stops
// those.
func (s *setting) bar(c *search.Choice) {
	s.barred = ""
	if s.drawer == nil {
		return
	}
	named := slices.Concat(c.Only, c.Must, slices.Collect(maps.Keys(c.Limits)))
	var out, why []string
	by, in := map[string][]string{}, s.in
	free := 0
	for _, p := range s.drawer.Pigments {
		bars := batch.Bars(p, s.base.Kind, c.Area)
		if s.base.Kind.Sprayed() && batch.Clogs(p, in.Bench.NozzleUM) {
			bars = append(bars, batch.Bar{Words: "is too coarse for the pump's nozzle"})
		}
		is := func(name string) bool { return fold(name) == fold(p.Name) }
		switch {
		case len(bars) == 0 || slices.ContainsFunc(named, is):
			free++
		case !slices.ContainsFunc(c.Without, is):
			words := bars[0].Words
			if by[words] == nil {
				why = append(why, words)
			}
			out, by[words] = append(out, p.Name), append(by[words], p.Name)
		}
	}
	if free == 0 || len(out) == 0 || len(c.Only) > 0 {
		return
	}
	c.Without = append(slices.Clone(c.Without), out...)
	s.barred = "Left out by rule: " + listed(why, "; ", func(words string) string { return strings.Join(by[words], ", ") + ": each " + words }) + "."
}

// batchGrams is the size of the batch in grams, for stock: the grams asked
// for, or what the containers take with what is kept and left on the tools.
func (s *setting) batchGrams() float64 {
	switch {
	case s.in.Grams > 0:
		return s.in.Grams
	case s.in.Containers > 0:
		if r, err := s.batchRequest("", &BlendView{}); err == nil {
			if all, err := r.TotalG(); err == nil {
				return all
			}
		}
		return float64(s.in.Containers) * s.in.ML * s.base.Density
	}
	return DefaultGrams
}
