package job

import (
	"context"
	"fmt"
	"math"
	"strings"

	"tawny/blend/doubt"
	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/blend/palette"
	"tawny/colour"
)

var lotJob = &Job{
	Name:  "lot",
	Args:  "FILE",
	Short: "Compare a new lot of a powder with the old one",
	Long: `One quick film of the new lot, read as for tawny fit, tells how much stronger or
weaker it is than the powder in your drawer and how its shade differs. With
--skin and --part a blend is matched again, so that it looks as it did with the
old lot; the recipe stays as it is where the films cannot tell a gain.

Drawing the old lot down beside the new, with a column lot that says old or new,
is surest where the powder's data are modelled. With --add the new lot takes the
old one's place in the drawer; a full set of films with tawny fit is surer.`,
	Example: "  tawny lot testdata/fit/pale-gold-lot-demo.csv --skin tan --part 'pale gold=2' --part 'red oxide=0.05'\n" +
		"  tawny fit testdata/fit/pale-gold-demo.csv --add --drawer drawer.csv\n" +
		"  tawny lot testdata/fit/pale-gold-lot-demo.csv --drawer drawer.csv --skin tan --part 'pale gold=2'\n" +
		"  tawny lot testdata/fit/pale-gold-lot-demo.csv --drawer drawer.csv --add",
	New: func() Task {
		in := &LotInput{}
		worn := in.wornGroup().Fields[0]
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			asked := *in
			asked.Input = q
			return Lot(asked)
		}, words(fileArg("a drawdown of the new lot", &in.File)), in.skinGroup(), Group{Title: "Blend", Fields: []Field{
			in.drawerField(), partField(&in.Parts), worn, in.baseField(),
			{Name: "add", Words: "put the new lot into the drawer in the old one's place", To: &in.Add},
		}}, in.lightGroup())
	},
}

// Show writes how the lots differ.
func (r *LotResult) Show(s *Screen) {
	of := orElse(around("lot ", r.Old, ""), "the powder in the drawer")
	s.line("%s, lot %s, against %s, whose data are %s", r.Powder, orElse(r.Lot, "not named"), of, r.OldFrom)
	s.fold("  ", r.Words...)
	if b := r.Blend; b != nil {
		s.line("")
		s.skinLine(&b.Skin)
		s.line("Old lot   %s%s   %s", s.patch(b.Old.Hex), labText(b.Old.Lab), b.Old.shares(3))
		s.line("Same      %s%s   %s", s.patch(b.Unchanged.Hex), labText(b.Unchanged.Lab), "the same recipe with the new lot")
		s.line("          ΔE00 %.2f from the old lot's, %s%s", b.Unchanged.DeltaE00, b.Unchanged.Words, around(" (", b.Unchanged.Off, ")"))
		if !b.Kept {
			s.line("Changed   %s%s   %s", s.patch(b.Rematched.Hex), labText(b.Rematched.Lab), b.Rematched.shares(3))
			s.line("          ΔE00 %.2f from the old lot's, %s%s", b.Rematched.DeltaE00, b.Rematched.Words, around(" (", b.Rematched.Off, ")"))
		}
		s.fold("          ", b.Words)
	}
	s.added(r.Added, r.Powder)
	s.notes(r.Notes)
}

// LotInput is a quick drawdown of a new lot, and a blend that uses the powder.
type LotInput struct {
	Input        // the drawer; with Parts, a blend that uses the powder, also the skin and how it is worn
	File  string // the drawdown, as tawny fit reads it; one film will do
	Add   bool   // put the new lot into the drawer in place of the old
}

// LotResult is how a new lot differs from the powder on record.
type LotResult struct {
	drawdown.Shift
	Powder  string     `json:"powder"`
	Lot     string     `json:"lot"`
	Old     string     `json:"oldLot,omitempty"`
	OldFrom string     `json:"oldSource"` // where the old powder's data come from
	Films   int        `json:"readings"`
	Beside  bool       `json:"besideOld"` // the old lot was drawn down with it
	Method  string     `json:"method"`    // how the new lot's K and S were had
	Words   []string   `json:"words"`
	Blend   *LotBlend  `json:"blend,omitempty"`
	Added   *AddedView `json:"added,omitempty"`
	Notes   []string   `json:"notes,omitempty"`
}

// LotBlend is a blend before and after the change of lot.
type LotBlend struct {
	Skin      SkinView  `json:"skin"`
	Old       BlendView `json:"oldLot"`          // with the old lot; the target of the new
	Unchanged BlendView `json:"unchanged"`       // the same recipe with the new lot
	Rematched BlendView `json:"rematched"`       // the recipe that brings the shade back, or the same where Kept
	Known     float64   `json:"knownToDeltaE00"` // the least change of the blend these films can tell, 95 in 100: what the error of the strength moves it by, or a reading's own repeatability
	Kept      bool      `json:"kept"`            // the same recipe does as well, as far as can be told
	Moved     []string  `json:"moved,omitempty"` // other powders that move with it
	Words     string    `json:"words"`
}

// Lot compares a new lot with the powder in the drawer and matches a blend
// again with it.
func Lot(in LotInput) (*LotResult, error) {
	env := in.lent()
	d, err := env.readDrawdowns(in.File)
	if err != nil {
		return nil, err
	}
	drawerFile, err := env.OpenDrawer(in.Drawer, film.DefaultIndex)
	if err != nil {
		return nil, err
	}
	if d.Keys["powder"] == "" {
		return nil, inputf("%s does not say which powder it is; a line '# powder: pale gold' is needed", in.File)
	}
	old, err := drawerFile.Find(d.Keys["powder"])
	if err != nil {
		return nil, input(err)
	}
	if d.Keys["kind"] == "" {
		d.Keys["kind"] = either(old.Optics.Flake, "flake", "ordinary")
	}
	g, err := d.Geometry(in.lent().today())
	if err != nil {
		return nil, input(err)
	}
	if g.Flake != old.Optics.Flake {
		return nil, inputf("%s: kind is %q but %s in the drawer is not; the same kind is accepted", in.File, d.Keys["kind"], old.Name)
	}
	if g.Index != film.DefaultIndex {
		if drawerFile, err = env.OpenDrawer(in.Drawer, g.Index); err != nil {
			return nil, err
		}
		if old, err = drawerFile.Find(old.Name); err != nil {
			return nil, input(err)
		}
	}
	readings, err := d.Readings(g)
	if err != nil {
		return nil, input(err)
	}
	readings, beside, err := d.Split(readings, old.Lot)
	if err != nil {
		return nil, input(err)
	}
	c, err := drawdown.ChangeOfLot(&old.Optics, readings, beside)
	if err != nil {
		return nil, inputf("%s: %w", in.File, err)
	}
	r := &LotResult{
		Shift: c.Shift, Powder: old.Name, Lot: d.Keys["lot"], Old: old.Lot, OldFrom: string(old.Source), Films: len(readings),
		Beside: len(beside) > 0, Notes: d.Notes,
	}
	was, err := smear(old, blackCard, g.Index)
	if err != nil {
		return nil, input(err)
	}
	r.Method = "the old lot's K and S, brought to the film band by band"
	switch {
	case c.Fitted:
		r.Method = "its own films"
	case r.Beside:
		r.Method = "the old lot's K and S, by how the two lots' films differ band by band"
	}
	r.words(was.LCh.H)
	ofLot := func(p *palette.Pigment) *palette.Pigment {
		fresh := *p
		fresh.Lot, fresh.Optics = r.Lot, c.Of(p.Optics)
		return &fresh
	}
	if len(in.Parts) > 0 {
		if r.Blend, err = in.rematch(old.Name, ofLot, r.Err/r.Strength); err != nil {
			return nil, err
		}
	}
	if in.Add {
		if r.Lot == "" {
			return nil, inputf("%s does not say which lot it is; a line '# lot: …' is needed to add it", in.File)
		}
		if err := r.add(env, in.Drawer, old, ofLot(old), d, g, c.Fitted); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// words says what was found; hue is of the old powder's smear, degrees.
func (r *LotResult) words(hue float64) {
	percent, band := 100*(r.Strength-1), 196*r.Err
	switch {
	case math.Abs(percent) <= band:
		r.Words = append(r.Words, fmt.Sprintf("as strong as the old lot, as far as these films tell (%+.1f %%, known to ± %.1f %%)", percent, band))
	case percent > 0:
		r.Words = append(r.Words, fmt.Sprintf("%.1f %% stronger than the old lot (± %.1f %%): where 1 g was used, %.3f g does", percent, band, 1/r.Strength))
	default:
		r.Words = append(r.Words, fmt.Sprintf("%.1f %% weaker than the old lot (± %.1f %%): where 1 g was used, %.3f g is needed", -percent, band, 1/r.Strength))
	}
	r.Words = append(r.Words, fmt.Sprintf("at equal strength the films are ΔE00 %.2f apart%s: %s", r.Shade.DeltaE00, around(" (", turnWords(r.Shade, hue), ")"), colour.DifferenceWords(r.Shade.DeltaE00, 100)))
	modelled := r.OldFrom != string(palette.Measured) && r.OldFrom != string(palette.Demo)
	r.Words = append(r.Words, nonEmpty(
		when(r.Beside, "both lots were drawn down together, so this is the lots' own difference"),
		when(!r.Beside && modelled, fmt.Sprintf("the old lot's data are %s, so part of the difference is the model's, not the lot's", r.OldFrom)))...)
}

// turnWords names the parts of a shade shift of half a unit or more, from a hue.
func turnWords(s drawdown.Shade, hue float64) string {
	var list []string
	for _, p := range []struct {
		by   float64
		word colour.Pair
	}{{s.DL, colour.LightnessWords}, {s.DC, colour.ChromaWords}, {s.DH, colour.HueWords(hue)}} {
		if math.Abs(p.by) >= 0.5 {
			list = append(list, p.word.Of(p.by))
		}
	}
	return strings.Join(list, ", ")
}

// readingRepeat is how far a film's reading lies from the next of the same
// film, ΔE00 (common practice, as package drawdown has it). A change of the
// blend smaller than that is not known to be one.
const readingRepeat = 0.3

// rematch predicts the blend with either lot and finds the recipe that brings
// the old shade back: the same where nothing is known to be gained, else with
// the new lot's powder changed alone, else with all. ofLot is a powder as the new
// lot has it, strengthErr the relative standard error of its strength.
func (in LotInput) rematch(name string, ofLot func(*palette.Pigment) *palette.Pigment, strengthErr float64) (*LotBlend, error) {
	s, parts, err := in.openBlend()
	if err != nil {
		return nil, err
	}
	swapped := append([]film.Part(nil), parts...)
	var own, all []int
	var fresh *palette.Pigment
	for i, p := range parts {
		all = append(all, i)
		if p.Pigment.Name == name {
			own = append(own, i)
			fresh = ofLot(p.Pigment)
			swapped[i].Pigment = fresh
		}
	}
	if len(own) == 0 {
		return nil, inputf("the blend does not use %s", name)
	}
	b := &LotBlend{Skin: s.skinView()}
	old, err := s.lookView(parts, nil)
	if err != nil {
		return nil, err
	}
	b.Old = *old
	t := &target{view: TargetView{Text: "the shade with the old lot", ColourView: old.ColourView, SecondLab: old.SecondLab}}
	unchanged, err := s.lookView(swapped, t)
	if err != nil {
		return nil, err
	}
	b.Unchanged = *unchanged
	u, err := doubt.Uncertainty(s.worn(swapped, s.apply, s.tilt), doubt.Doubts{Powders: map[*palette.Pigment]doubt.Powder{fresh: {Strength: strengthErr}}})
	if err != nil {
		return nil, input(err)
	}
	b.Known = math.Max(readingRepeat, u.DeltaE95)
	try := func(free []int) (*BlendView, error) {
		recipe, err := mend.BringBack(s.worn(swapped, s.apply, s.tilt), old.Lab, free)
		if err != nil {
			return nil, input(err)
		}
		return s.lookView(recipe, t)
	}
	alone, err := try(own)
	if err != nil {
		return nil, err
	}
	together := alone
	if len(all) > len(own) {
		if together, err = try(all); err != nil {
			return nil, err
		}
	}
	now := unchanged.DeltaE00
	switch {
	case now-min(alone.DeltaE00, together.DeltaE00) <= b.Known:
		b.Kept, b.Rematched = true, *unchanged
		gain := math.Max(0, now-min(alone.DeltaE00, together.DeltaE00))
		b.Words = fmt.Sprintf("keep the recipe: changed, it would come ΔE00 %.2f nearer the old look, less than these films can tell (%.2f)", gain, b.Known) +
			when(now > 1, "; no recipe of these powders brings the old look back, so match again with others")
	case alone.DeltaE00-together.DeltaE00 <= b.Known:
		b.Rematched = *alone
		b.Words = "only " + name + " is changed" + when(len(all) > len(own), "; moving the others too would gain no more than these films can tell")
	default:
		b.Rematched = *together
		for i, p := range parts {
			if p.Pigment.Name != name && math.Abs(together.Parts[i].Percent/p.Percent-1) > 0.005 {
				b.Moved = append(b.Moved, p.Pigment.Name)
			}
		}
		b.Words = fmt.Sprintf("%s alone comes no nearer than ΔE00 %.2f, since its shade has changed and not its strength alone", name, alone.DeltaE00) +
			around("; so ", strings.Join(b.Moved, " and "), " is changed with it")
	}
	return b, nil
}

// add puts the new lot into the drawer in the old one's place.
func (r *LotResult) add(env *Env, drawerFile string, old, fresh *palette.Pigment, d *drawdown.File, g drawdown.Geometry, fitted bool) error {
	if drawerFile == "" {
		return inputf("the built-in drawer cannot be changed; give {drawer} drawer.csv")
	}
	p := *fresh
	var note palette.FitNote
	var err error
	if note.Coat, note.Substrate, err = env.coatOf(old, drawerFile); err != nil {
		return err
	}
	if !g.Flake {
		note.Coat, note.Substrate = "", 0
	}
	if fitted {
		p.Source = palette.Measured
	}
	if g.Demo {
		p.Source = palette.Demo
	}
	if d.Keys["stock_g"] != "" || d.Keys["price_per_g"] != "" {
		if err := d.Describe(&p); err != nil {
			return input(err)
		}
	}
	p.Layers, p.Substrate = nil, 0
	note.Powder, note.Lot, note.Date, note.Geometry, note.Method = p.Name, r.Lot, g.Date, string(g.Read), r.Method
	note.Readings, note.StrengthError, note.Source = r.Films, math.Min(0.99, r.Err/r.Strength), p.Source
	r.Added, _, err = putPowder(env, drawerFile, &p, &note, true)
	return err
}
