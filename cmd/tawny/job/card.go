package job

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// CardOptions say how a card is to look.
type CardOptions struct {
	Shimmer bool        // picture the flakes instead of flat colour
	Rig     shimmer.Rig // light of the picture
	Seed    uint64      // of the flakes' places
	Small   bool        // to share a page: no sweep and no jars
	Client  bool        // for the one who wears it: no recipe and no figures
}

// Card lays a blend out as a swatch card: bare skin beside each coverage, the
// one matched at among them.
func (r *BlendResult) Card(o CardOptions) (*swatches.Card, error) {
	s, v := r.setting, &r.Blend
	c := &swatches.Card{Heading: r.heading(), Lead: r.sentence(!o.Small || o.Client), Seed: o.Seed, Rig: o.Rig, Unmeasured: unmeasured(r)}
	o, why := r.lit(o)
	row, err := r.row("", s.viewing)
	if err != nil {
		return nil, err
	}
	as, err := r.coverages(&row, o)
	if err != nil {
		return nil, err
	}
	c.Rows = []swatches.Row{row}
	if shows, _ := pictured(v.parts); shows && (!o.Shimmer || o.Rig == shimmer.Even) {
		c.Lead += " Pictured in flat colours, without its gleam."
	}
	c.Small = o.Small
	told, err := r.wearing(as, o.Client)
	if err != nil {
		return nil, err
	}
	if o.Client {
		c.Blocks = told
		r.forClient(c)
		return c, nil
	}
	weigh, err := r.weigh()
	if err != nil {
		return nil, err
	}
	numbers := swatches.Numbers{Row: &c.Rows[0], Named: true, Brief: o.Small}
	if o.Small {
		for i := range row.Looks {
			row.Looks[i].Words = nil // the facts tell the grain as it was matched
		}
		c.Blocks = append(c.Blocks, weigh, numbers, r.facts(why, o))
		return c, nil
	}
	sweep := swatches.Sweep{Viewing: s.viewing, Marks: flake.Aspecular[:]}
	for _, a := range v.Sweep {
		sweep.Deg, sweep.Labs = append(sweep.Deg, a.Aspecular), append(sweep.Labs, a.Lab)
	}
	jars, err := s.jars(v.parts)
	if err != nil {
		return nil, err
	}
	// What one would show comes first: the rest is the back's, where a card has one.
	c.Back = told
	c.Blocks = append(c.Blocks, weigh, r.facts(why, o), numbers, sweep, swatches.Jars{Viewing: s.viewing, Patches: jars})
	return c, nil
}

// forClient leaves what she reads: no recipe, no figures of colour, no cost, but her
// name, and the look's in its sentence, or at the head where nothing else is.
func (r *BlendResult) forClient(c *swatches.Card) {
	r.setting.plain(c)
	if c.Title = orElse(r.Title, r.setting.herName()); c.Title == "" {
		look := r.setting.lookWords(&r.Blend)
		c.Title = capital(look)
		if t := r.target; t != nil && t.family != "" && strings.EqualFold(t.family, r.Blend.Light) {
			own := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(t.view.Words), "soft "), "rich ")
			if !strings.Contains(look, own) {
				c.Title = capital(own) + ": " + look // her own word
			}
		}
		if _, rest, ok := strings.Cut(c.Lead, look+" with"); ok {
			c.Lead = capital(strings.TrimPrefix("with"+rest, "with "))
		}
	}
	c.Note = r.setting.clientNote(c.Title)
}

// clientNote stands under a client's title: her name where the title has it not.
func (s *setting) clientNote(title string) (note string) {
	if her := s.herName(); !strings.Contains(title, her) {
		note = "For " + her
	}
	if s.in.note() != "" && strings.TrimSpace(s.in.Title) == "" {
		note = strings.TrimSpace(note + " (demo: invented)")
	}
	return note
}

// unmeasured says what pictures of blends rest on that nobody has measured.
func unmeasured(blends ...*BlendResult) string {
	powders := slices.ContainsFunc(blends, func(r *BlendResult) bool { return r.Blend.Source != string(palette.Measured) })
	skin := slices.ContainsFunc(blends, func(r *BlendResult) bool { return r.Skin.Preset })
	return strings.Join(nonEmpty(when(powders, "powders"), when(skin, "skin")), " and ")
}

// plain leaves figures out of a client's drawing, and tells of a light that is not
// daylight's.
func (s *setting) plain(c *swatches.Card) {
	c.Plain, c.Source, c.Date = true, "", ""
	if s.viewing.Illuminant.Name != colour.D65.Illuminant.Name {
		c.Blocks = append(c.Blocks, swatches.Text{Lines: []string{"Light: " + s.viewing.Illuminant.Plain}, Small: true})
	}
}

// ownLook is the blend's look without how it differs from others found with it, and
// what its flakes are seen as on this skin where its name says another grade.
func (r *BlendResult) ownLook() string {
	words := strings.SplitN(r.Blend.Look.Name, ", ", 3)
	look := strings.Join(words[:min(2, len(words))], ", ")
	if r.Blend.Grade != "" && r.Blend.Grade != r.Blend.Grain {
		look += around(", seen as ", r.Blend.Grain, "")
	}
	return look
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// howToWear says how it is put on: sprays and what is for eyelids or lips as is usual
// (common practice), anything else by the coverages.
func (s *setting) howToWear(as film.Coverage) string {
	switch {
	case s.base.Kind.Sprayed():
		return "Shake it, hold it about 20 cm away and spray in light passes, never towards the face, letting each settle before the next. One pass is sheer, two are smoothed, more are full."
	case s.area() == palette.Eyes:
		return "For the eyelids, though the picture shows an arm: pat it on with a fingertip or a soft brush, away from the lash line. One thin layer is sheer, two are smoothed, more are full."
	case s.area() == palette.Lips:
		return "For the lips, though the picture shows an arm: pat it on with a fingertip or a brush. One thin layer is sheer, two are smoothed, more are full."
	}
	var less, more []string // the nearest first
	for _, c := range film.Coverages {
		switch {
		case c.Name == as.Name:
		case c.MgPerCM2 < as.MgPerCM2:
			less = append([]string{c.Plain}, less...)
		default:
			more = append(more, c.Plain)
		}
	}
	best := "Best " + as.Plain + "."
	switch {
	case as.Plain != "":
	case len(less) > 0:
		best, less = "Best thicker than what is "+less[0]+".", less[1:]
	default:
		best, more = "Best thinner than what is "+more[0]+".", more[1:]
	}
	turn := func(word string, ways []string) string {
		return around(" "+capital(word)+" when ", strings.Join(ways, "; "+word+" still when "), ".")
	}
	return best + turn("sheerer", less) + turn("fuller", more)
}

// wearing is what whoever wears it needs: how, of what, and what to mind. What keeps
// its label a draft keeps it from a client, or is told with the list.
func (r *BlendResult) wearing(as film.Coverage, client bool) ([]swatches.Block, error) {
	b, err := r.Batch()
	if err != nil {
		return nil, err
	}
	how, care, label := r.setting.howToWear(as), "Take care", &b.Label.EU
	mend := toMend(b.Findings)
	if len(mend) > 0 {
		if client {
			return nil, inputf("nothing for a client is written of what may not be worn yet; the maker's card is, and says so. %s", strings.Join(mend, " "))
		}
		how, care = "Not yet. "+strings.Join(mend, " "), "Take care, once it may be worn"
	}
	name, list, _ := strings.Cut(label.Ingredients, ": ")
	list = strings.ReplaceAll(list, "CI ", "CI\u00a0") // a number keeps to its index
	name += when(len(label.Draft) > 0, ", a draft that is not checked")
	return []swatches.Block{
		swatches.Text{Name: "How to wear it", Lines: []string{how}, Small: len(mend) > 0},
		swatches.Text{Name: name, Lines: []string{list}, Small: true},
		swatches.Text{Name: care, Lines: []string{strings.Join(label.Cautions, " ")}, Small: true, Front: true},
	}, nil
}

// warnToMend warns of what blends may not be made, sold or worn with.
func (e *Env) warnToMend(blends ...*BlendResult) error {
	for _, r := range blends {
		b, err := r.Batch()
		if err != nil {
			return err
		}
		for _, what := range toMend(b.Findings) {
			e.warn(what)
		}
	}
	return nil
}

// wornAlike is what whoever wears any of several blends needs, each as wearing tells it
// and called by its name: what holds for all is said once.
func wornAlike(names []string, told [][]swatches.Block) []swatches.Block {
	all := told[0]
	for k := range all {
		var each swatches.Columns
		var texts []string
		alike, same := all[k].(swatches.Text), true
		for i, one := range told {
			t := one[k].(swatches.Text)
			texts, same = append(texts, t.Lines[0]), same && t.Name == alike.Name
			t.Name = names[i] + ": " + t.Name
			each = append(each, t)
		}
		if one := oneList(texts); one != "" && same {
			alike.Lines = []string{one}
			all[k] = alike
		} else {
			all[k] = each
		}
	}
	return all
}

// oneList is a list of what is in several shades, as a label may have it (Regulation (EC)
// No 1223/2009, article 19(1)(g)): colourants that not each has after "may contain"; ""
// where more differs.
func oneList(lists []string) string {
	in := map[string]int{}
	var rest, colourants, may []string
	for i, list := range lists {
		var others []string
		for _, name := range strings.Split(list, ", ") {
			if !strings.HasPrefix(name, "CI\u00a0") {
				others = append(others, name)
			} else if in[name]++; in[name] == 1 {
				colourants = append(colourants, name)
			}
		}
		if i > 0 && !slices.Equal(rest, others) {
			return ""
		}
		rest = others
	}
	slices.Sort(colourants)
	for _, name := range colourants {
		if in[name] == len(lists) {
			rest = append(rest, name)
		} else {
			may = append(may, name)
		}
	}
	return strings.Join(rest, ", ") + around("; may contain ", strings.Join(may, ", "), "")
}

// note stands under the title of the blend's drawings.
func (r *BlendResult) note() string {
	note := r.setting.in.note()
	if b, err := r.Batch(); err == nil && len(toMend(b.Findings)) > 0 { // weighing tells of a fault
		return "DRAFT, not to be worn yet" + around("; ", note, "")
	}
	return note
}

// heading is what stands at the head of the blend's drawings.
func (r *BlendResult) heading() swatches.Heading {
	return swatches.Heading{Title: r.title(), Note: r.note(), Date: r.setting.in.lent().today(), Source: r.Blend.Source}
}

// sentence says what she will see, without the figures: its gleam's colour, and where
// there is room what it does to the skin beside that.
func (r *BlendResult) sentence(whole bool) string {
	words, _, _ := strings.Cut(strings.TrimSuffix(r.Blend.Sentence, "."), ";")
	bare := r.setting.viewing.Lab(&r.setting.skin.Reflectance)
	if turn := colour.SkinWords(bare, r.Blend.Lab); whole && colour.DeltaE00(bare, r.Blend.Lab) >= hardlyThere && !strings.Contains(strings.ToLower(words), turn) {
		if !r.Blend.tint() {
			turn = "where it is " + turn // in shade
		}
		words += ", " + turn + " than bare skin"
	}
	return words + "." + around(" ", r.unlike(), "")
}

// unlike says that a look is not the one asked for in words.
func (r *BlendResult) unlike() string {
	if t := r.target; t != nil && t.family != "" && !strings.EqualFold(t.family, r.Blend.Light) {
		return capital(t.view.Words) + " was asked for, which this look is not."
	}
	return ""
}

// Of the light that glints are counted in, and of another.
const (
	glintsIn = "towards a small lamp"
	andOther = ", more and fainter under a window"
)

// facts are the small print of a card, one that shares a page without how the shade
// turns.
func (r *BlendResult) facts(why string, o CardOptions) swatches.Text {
	s := r.setting
	lines := []string{"Light: " + s.viewing.Illuminant.Plain + " (" + s.viewing.Name() + ")"}
	if r.target != nil {
		lines = append(lines, "Target, along the foot of the strip: "+r.target.view.Words, r.readAs())
	}
	if gloss, err := s.glossLine(r.Blend.parts); err == nil && !o.Small {
		lines = append(lines, gloss)
	}
	if glints, err := s.glints(r.Blend.parts, s.apply, s.tilt); err == nil && glints != "" {
		if shows, _ := pictured(r.Blend.parts); shows {
			glints += " " + glintsIn + when(!o.Small, andOther)
		}
		lines = append(lines, fmt.Sprintf("Shimmer: %sgleam %s (%s); %s", around("seen as ", r.Blend.Grain, ", "), gleamFigure(r.Blend.Gleam), r.Blend.GleamWord, glints))
	}
	if !o.Small {
		lines = append(lines, "Undertone beside bare skin: "+undertoneShort(s.viewing.Lab(&s.skin.Reflectance), r.Blend.Lab), r.shiftRemark())
	}
	return swatches.Text{Lines: nonEmpty(append(lines, why, s.extrapolated())...), Small: true}
}

// sweepDeg are the angles that a sweep is worked out at, from the mirror
// direction: close where flakes change fastest.
var sweepDeg = []float64{10, 15, 20, 25, 30, 37, 45, 60, 75, 90, 110, 115}

// sweep is the blend from towards the lamp to away from it.
func (s *setting) sweep(parts []film.Part) ([]AngleView, error) {
	looks, err := film.AtAngles(s.worn(parts, s.apply, s.tilt), sweepDeg)
	return angleViews(s.viewing, looks), input(err)
}

// weigh is what goes into the jar, with the grams of its batch: of one in the book what
// is in it.
func (r *BlendResult) weigh() (*swatches.Blend, error) {
	if n := len(r.Blend.Parts); n > swatches.MaxParts {
		return nil, faultf("part", "names %d powders; at most %d fit a card", n, swatches.MaxParts)
	}
	b, err := r.Batch()
	if err != nil {
		return nil, err
	}
	w := &swatches.Blend{Name: r.title(), Base: b.Base, BatchGrams: b.TotalG, Decimals: decimals(b.BalanceG)}
	grams := weighed(b)
	if made := r.setting.in.made; made != nil {
		w.BatchGrams, w.Weighed = made.grams, true
		for i, p := range r.Blend.parts { // in the order of its powders
			grams[p.Pigment.Name] = *made.has[i].WeighedG
			w.Weighed = w.Weighed && !slices.Contains(made.open, made.has[i].Name)
		}
	}
	for _, part := range r.Blend.Parts {
		one := swatches.Part{Powder: part.Powder, Percent: part.Percent, Grams: grams[part.Powder]}
		if r.Blend.Rank > 0 { // matched: what is weighed was chosen beside it
			one.Percent = 100 * one.Grams / b.TotalG
		}
		w.Parts = append(w.Parts, one)
		w.LoadPercent += one.Percent
	}
	return w, nil
}

// shiftRemark says how far the colour moves between the two lights.
func (r *BlendResult) shiftRemark() string {
	s := r.setting
	return fmt.Sprintf("From %s to %s the colour moves ΔE00\u00a0%.1f, the bare skin %.1f.", s.viewing.Illuminant.Name, s.second.Illuminant.Name, r.Blend.LightShift, colour.Shift(&s.skin.Reflectance, s.viewing, s.second))
}

// extrapolated warns of a skin beyond the model's.
func (s *setting) extrapolated() string {
	return when(s.skin.Extrapolated, "Skin outside those the model was fitted to: its spectrum is extrapolated.")
}

// pictured says whether a picture would show anything of a blend, and why not
// where that is not for want of flakes.
func pictured(parts []film.Part) (shows bool, why string) {
	flakes := false
	for _, part := range parts {
		o := &part.Pigment.Optics
		if o.Flake && o.FaceArea == 0 {
			return false, "Flat colour: how large a face " + part.Pigment.Name + "'s flakes have is not known."
		}
		flakes = flakes || o.Flake
	}
	return flakes, ""
}

// lit leaves the picture flat where it would show nothing, and says why where
// that is not for want of flakes.
func (r *BlendResult) lit(o CardOptions) (CardOptions, string) {
	shows, why := pictured(r.Blend.parts)
	if !o.Shimmer {
		why = ""
	}
	o.Shimmer = o.Shimmer && shows
	return o, why
}

// glints say how much single flakes of a worn blend show.
func (s *setting) glints(parts []film.Part, apply, tilt float64) (string, error) {
	if shows, why := pictured(parts); !shows {
		return when(why == "", "no flakes"), nil
	}
	g, err := film.Glints(s.worn(parts, apply, tilt))
	if err != nil || g.Word == "" {
		return "", input(err)
	}
	return swatches.GlintWords(g.PerCM2), nil
}

// jars returns the product in the jar, too deep to see through: a lotion wet
// and as its dried film in depth, an oil as it is.
func (s *setting) jars(parts []film.Part) ([]swatches.Patch, error) {
	deep := func(name string, base film.Base) (swatches.Patch, error) {
		w := s.worn(parts, 1, 0)
		w.Base = base
		r, err := film.InTheJar(w)
		return swatches.Patch{Name: name, Lab: s.viewing.Lab(&r)}, input(err)
	}
	if !s.base.HasWater() {
		oil, err := deep("in the jar", s.optics)
		return []swatches.Patch{oil}, err
	}
	wet, err := film.WetLotion(s.base.OilShare(), s.optics.Index)
	if err != nil {
		return nil, input(err)
	}
	jar, err := deep("in the jar, wet", wet)
	if err != nil {
		return nil, err
	}
	dry, err := deep("dried, in depth", s.optics)
	return []swatches.Patch{jar, dry}, err
}

// JarView is the product in the jar as data.
type JarView struct {
	Name       string `json:"name"`
	ColourView        // under the light asked for
}

// jarViews is the product in the jar, reckoned when it is written: only data tells it.
type jarViews struct{ list func() ([]JarView, error) }

func (s *setting) jarViews(parts []film.Part) *jarViews {
	return &jarViews{sync.OnceValues(func() (views []JarView, err error) {
		jars, err := s.jars(parts)
		for _, j := range jars {
			views = append(views, JarView{j.Name, colourView(s.viewing, j.Lab)})
		}
		return views, err
	})}
}

// MarshalJSON writes a list of JarView.
func (v *jarViews) MarshalJSON() ([]byte, error) {
	list, err := v.list()
	if err != nil {
		return nil, err
	}
	return json.Marshal(list)
}

// UnmarshalJSON takes nothing of what was written: it comes of the blend's parts.
func (v *jarViews) UnmarshalJSON([]byte) error { return nil }

// undertoneShort compares the hue of a worn blend with that of the bare skin.
func undertoneShort(bare, worn colour.Lab) string {
	d := colour.HueTurn(bare.LCh().H, worn.LCh().H)
	switch {
	case worn.Chroma() < 3:
		return "almost colourless"
	case d > 2 && bare.A-worn.A > worn.B-bare.B: // towards yellow by what it lost of red
		return fmt.Sprintf("less red by\u00a0%.0f°", d)
	case math.Abs(d) > 2:
		return fmt.Sprintf("%s by\u00a0%.0f°", colour.WarmthWords.Of(d), math.Abs(d))
	}
	return "as warm as skin"
}

func (s *setting) balance() float64 {
	if s.in.Balance == 0 {
		return DefaultBalance
	}
	return s.in.Balance
}
