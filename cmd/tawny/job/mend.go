package job

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/mend"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/table"
	"tawny/swatches"
)

var mendJob = &Job{
	Name:     "mend",
	Searches: true,
	Short:    "Bring a made batch back to its shade",
	Long: `Says what to add to a batch that came out off its shade: at most three ways,
smallest first, of powders and base only, each with a trial on a little of the
batch; or, where nothing small helps, what takes least and would. None takes more
than is in stock, more than a point of load over the recipe's, or grows the batch
by more than 15 % unless --grow says so. The gleam is kept to what was planned,
beside the shade; --gleam and --grain ask for others, as 'too flat' and 'too
sparkly' do for more and less.

Name the batch in the book, which knows its weights, lots, skin, target and how it is
worn, or say what was weighed in; and say what it looks like now, by --looks,
--reading or --photo. With none of them two colours are shown, and drawn into --out
(pair.png): --nearer tells which is nearer, round by round, four rounds of three at
the most. What an eye says is trusted less.

With --choose one of the ways is written to the batch in the book, and what a reading
taught of its powders to their lots; 'tawny book again' then makes the mended recipe.`,
	Example: "  tawny mend --batch 3 --looks 'too pink, a little dark'\n  tawny mend --demo --weighed 'warm gold=7.9' --weighed 'yellow oxide=0.08' --made 200 --out fix\n  tawny mend --skin tan --target skin:1,3,4 --weighed 'amber gold=8' --made 200 --evaporated 4 --reading lab:56.1,12.0,22.0 --within 0.5\n  tawny mend --skin light --target skin:2,3,0 --weighed champagne=4 --weighed copper=2 --made 200 --looks 'too dull, a little light'",
	New: func() Task {
		q := &MendInput{}
		in := &q.Input
		marks := q.Photo.markFields()
		return in.asking(func(ctx context.Context, env *Env, lent Input) (_ Result, err error) {
			asked := *q
			asked.Input, asked.face = lent, env
			mending := Mend
			if q.BatchText != "" {
				mending = env.mendInBook
				known := []Group{in.shadeGroup(), in.wornGroup(), in.lightGroup(), words(in.baseField()), words(in.sizeFields()...), words(Field{Name: "weighed"}, Field{Name: "made"})}
				if err := env.knownOf("a batch in the book", known, "gleam", "grain"); err != nil {
					return nil, err
				}
			}
			r, err := mending(ctx, asked)
			if err == nil && r.Pair != nil {
				err = env.drawn("pair", "png", swatches.Wide, r.Picture())
			}
			return r, err
		}, in.skinGroup(), in.shadeGroup(), in.wornGroup(), Group{Title: "Batch as made", Fields: []Field{
			{Name: "batch", Words: "its number or code in the book, instead of what follows on its skin, shade and weights", Lists: "batch", To: &q.BatchText},
			{Name: "weighed", Words: "a powder weighed in: 'pale gold=5.02' (grams); repeatable", Lists: "powder=", To: &q.Weighed},
			{Name: "made", Words: "grams weighed in all, powders and base together", Unit: "g", High: 1e6, Above: true, To: &q.Made},
			{Name: "evaporated", Words: "grams of water lost since", Unit: "g", High: 1e6, To: &q.Evaporated},
			{Name: "removed", Words: "grams taken out since: samples, filled jars", Unit: "g", High: 1e6, To: &q.Removed},
			{Name: "reading", Words: "the batch's colour as read", To: &q.Reading},
			{Name: "photo", Words: "or a photo of it, marked with patch or strip, and smear", To: &q.Photo.File},
			marks[0], marks[1],
			{Name: "smear", Words: "where the batch lies in the photo: x,y,w,h; repeatable, for the mean", To: &q.Photo.Areas},
			{Name: "looks", Words: "how it looks beside what was wanted: too, a little too or much too " + mend.LooksWords() + ", with commas between", To: &q.Looks},
			{Name: "nearer", Words: "which of two was nearer, pair after pair: l, r or s (the same)", Commas: true, To: &q.Nearer},
			{Name: "seen", Words: "where it was looked at: skin, jar or drawdown:MG (mg/cm² on white) (default skin)", To: &q.Seen},
		}}, Group{Title: "Additions", Fields: []Field{
			in.drawerField(),
			in.alsoField(),
			{Name: "only", Words: "add from these powders only", Lists: "powders", Commas: true, To: &in.Only},
			{Name: "without", Words: "add none of these powders", Lists: "powders", Commas: true, To: &in.Without},
			{Name: "within", Words: "ΔE00 to come within, growing least (default as near as can be)", High: 100, Above: true, To: &q.Within},
			{Name: "grow", Words: "most the batch may grow, per cent (default 15)", Unit: "%", High: 10000, Above: true, To: &q.Growth},
			{Name: "new", Words: "how many powders the batch has none of may be added", High: 2, To: &q.New},
			{Name: "choose", Words: "write this one of the ways to the batch in the book: 1 is the first", Low: 1, High: 3, Needs: rule{"batch": "is written to a batch in the book; give {batch}"}, To: &q.Choose},
			{Name: "yes", Words: "write it although a mending chosen before is not weighed", Needs: rule{"choose": "is for a way that is written; give {choose}"}, To: &q.Yes},
			{Name: "no-base", Words: "add powders only", To: &q.NoBase},
			outField(""),
		}}, in.batchGroup(), in.lightGroup())
	},
}

// Show writes what to add, or the pair to choose from.
func (r *MendResult) Show(s *Screen) {
	s.skinLine(&r.Skin)
	s.targetLine(r.Target)
	if p := r.Pair; p != nil {
		s.line("")
		s.fold("", fmt.Sprintf("Which is nearer to the batch, seen on: %s? Add l, r or s (the same) to --nearer, or say it in words: --looks 'too pink'.", r.Seen))
		s.line("  left   %s%s   %s", s.patch(p.Left.Hex), labText(p.Left.Lab), p.Left.Words)
		s.line("  right  %s%s   %s", s.patch(p.Right.Hex), labText(p.Right.Lab), p.Right.Words)
		return
	}
	s.line("Seen      %s   on: %s%s", labText(*r.Read), r.Seen, when(r.ByEye, ", by eye"))
	s.line("Worn now  %s   ΔE00 %.1f from the target%s", labText(r.Now.Lab), r.Now.DeltaE00, around("; wants to be ", r.Now.Words, ""))
	if g := r.Shimmer; g.Wanted != "" {
		s.line("Gleam     %s; planned %s; wanted now: %s", strings.TrimPrefix(gleamText(&BlendView{Look: search.Look{Gleam: g.Gleam, GleamWord: g.GleamWord, Grain: g.Grain}}), "gleam "), gleamFigure(g.Planned), g.Wanted)
	}
	s.line("")
	s.fold("", r.Advice)
	for i := range r.Options {
		if i > 0 {
			s.paragraph("Or")
		}
		s.option(&r.Options[i], r)
	}
	for _, k := range r.Strengths {
		s.line("    %s turned out %.0f %% as strong as listed", k.Pigment.Name, 100*k.Factor)
	}
	if r.Left >= 0.5 {
		s.fold("    ", fmt.Sprintf("ΔE00 %.1f of what was seen is explained by no powder's strength; check the weights and the reading.", r.Left))
	}
	s.notes(r.Notes)
	if len(r.Options) == 0 {
		return
	}
	s.line("")
	if c := r.Chosen; c != nil {
		s.fold("", c.Says)
		s.line("")
	}
	keeps := when(r.setting.base.Preserved(), " Base brings its own preservative with it; bare water thins it, so add no more of that than was lost.")
	s.fold("", "Keep it below 40 °C, and look again before adding more."+keeps)
}

// option writes one way of mending.
func (s *Screen) option(o *MendOption, r *MendResult) {
	balance := r.setting.balance()
	taught := when(len(r.Strengths) > 0, ", with what the reading taught") // words are too coarse to
	for _, a := range o.Additions {
		water := when(a.WaterGrams > 0, fmt.Sprintf("   of which %.2f g boiled purified water for what was lost", a.WaterGrams))
		s.line("Add %8s g  %s%s%s", grams(a.Grams, balance), a.Name(), when(a.New, "   (new to this batch)"), water)
		if a.Base != "" && a.Grams-a.WaterGrams >= 10 { // less is not made by itself
			s.line("    made by the sheet of tawny batch --no-powder --base %s --grams %.0f", quoteIfSpaced(orElse(r.setting.in.Base, DefaultBase)), math.Ceil(a.Grams))
		}
	}
	s.fold("    ", o.StirIn...)
	if t := o.Trial; t != nil {
		s.fold("", fmt.Sprintf("First try it: %s into %g g of the batch.", addedWords(t.Additions, balance), t.Grams))
	}
	s.paragraph("The batch then weighs %.2f g, %.1f %% more. Expected%s:", o.AfterGrams, o.Growth, taught)
	s.blendLines(&o.BlendView, true)
	s.fold("    ", o.GleamOff, when(!o.Reached, "This does not come as near as asked within the growth allowed."))
}

// MendInput is a made batch to bring back to its shade.
type MendInput struct {
	Input
	Weighed    []string // "pale gold=5.02": grams of each powder weighed in
	Made       float64  // g weighed in all, powders and base together
	Evaporated float64  // g of water lost since
	Removed    float64  // g taken out since
	Reading    string   // the batch's colour, as --skin takes colours; or
	Photo      PhotoInput
	Looks      string   // or how it looks beside what was wanted: "too pink"; or
	Nearer     []string // or which of two was nearer, pair after pair: l, r or s
	Seen       string   // skin, jar or drawdown:MG (mg/cm² on white)
	Within     float64  // ΔE00 to come within; 0 means as near as Growth lets
	Growth     float64  // per cent of the batch that may be added; 0 means 15
	New        int      // powders the batch has none of that may be added
	NoBase     bool     // powders only
	BatchText  string   // a batch's number or code in the book, instead of Weighed and Made
	Choose     int      // the way to write to it, from 1; 0 writes nothing
	Yes        bool     // although one chosen before is not weighed

	inBook *bookBatch
	face   *Env // lends the files that the reading names
}

// MendResult is what to add, or the pair to choose from.
type MendResult struct {
	Wearing
	Pair      *PairView       `json:"pair,omitempty"` // where no reading was given and no round of answers is whole
	ByEye     bool            `json:"byEye"`
	Seen      string          `json:"seen"`
	Read      *colour.Lab     `json:"read,omitempty"` // the batch's colour as seen
	Now       *colour.Missing `json:"now,omitempty"`  // what it lacks of the target as worn
	Shimmer   *MendShimmer    `json:"shimmer,omitempty"`
	Options   []MendOption    `json:"options"` // smallest first
	Chosen    *MendChosen     `json:"chosen,omitempty"`
	Notes     []string        `json:"notes,omitempty"`
	Advice    string          `json:"advice,omitempty"`
	Fresh     *PortionView    `json:"fresh,omitempty"`     // with advice: the batch to make instead
	Retry     map[string]int  `json:"retry,omitempty"`     // with advice: what else to ask, grow or new, for a way
	Strengths []mend.Strength `json:"strengths"`           // as the reading has them
	Left      float64         `json:"unexplainedDeltaE00"` // what strengths do not explain
}

// PairView is two colours to say which is nearer of.
type PairView struct {
	Left     ChoiceView `json:"left"`
	Right    ChoiceView `json:"right"`
	DeltaE00 float64    `json:"deltaE00"` // of each from what is expected so far
	Answers  []string   `json:"answers"`  // so far
}

// ChoiceView is one side of a pair.
type ChoiceView struct {
	mend.Choice
	Hex string `json:"hex"`
}

// MendShimmer is how a batch gleams as it stands, and what additions keep to.
type MendShimmer struct {
	Gleam     float64 `json:"gleam"`
	GleamWord string  `json:"gleamWord"`
	Grain     string  `json:"grain"`
	Planned   float64 `json:"plannedGleam"` // the recipe's, with powders as listed
	Wanted    string  `json:"wantedGleam,omitempty"`
}

// MendOption is one way of mending: what to add, and the blend then expected.
type MendOption struct {
	Additions  []AdditionView `json:"additions"`
	StirIn     []string       `json:"stirIn"` // how the powders among them go in
	Growth     float64        `json:"growPercent"`
	AfterGrams float64        `json:"afterGrams"`
	Reached    bool           `json:"reached"`
	Trial      *PortionView   `json:"trial,omitempty"`
	GleamOff   string         `json:"gleamOff,omitempty"` // where its gleam is not what it was to be
	Drawer     string         `json:"drawer,omitempty"`   // the file its powders are in, of one that is in the book
	BlendView
}

// PortionView is what goes into so many grams: of the batch, as a trial of a way, or of
// one made afresh.
type PortionView struct {
	Grams     float64        `json:"grams"`
	Additions []AdditionView `json:"additions"`
}

func added(powders []mend.Addition, baseGrams float64, base string) (list []AdditionView) {
	for _, a := range powders {
		a.Grams = exact(a.Grams)
		list = append(list, AdditionView{Addition: a})
	}
	if baseGrams > 0 {
		list = append(list, AdditionView{Addition: mend.Addition{Grams: exact(baseGrams)}, Base: base})
	}
	return list
}

// addedWords lists additions: "0.05 g of red oxide, 6.50 g of base".
func addedWords(list []AdditionView, balance float64) string {
	return listed(list, ", ", func(a AdditionView) string { return fmt.Sprintf("%s g of %s", grams(a.Grams, balance), a.Name()) })
}

// exact takes off what a sum of steps of a balance leaves behind it.
func exact(grams float64) float64 { return math.Round(grams*1e6) / 1e6 }

// AdditionView is one powder, or base, to add.
type AdditionView struct {
	mend.Addition
	Base       string  `json:"base,omitempty"`
	WaterGrams float64 `json:"waterGrams,omitempty"` // of base, only water lost to be made good
}

// Name is the powder's, or base.
func (a *AdditionView) Name() string {
	if a.Pigment == nil {
		return "base"
	}
	return a.Pigment.Name
}

// unsaidApply is the most product, mg/cm², of which a reading may leave its
// geometry unsaid: a 45:0 reading of worn shimmer lies 5 to 12 L* under a
// sphere's at 2 mg/cm².
const unsaidApply = 1.0

// Mend works out what to add to a batch, from its colour as read, or as
// told from pairs of colours about what was expected. With neither it
// returns the next pair.
func Mend(ctx context.Context, in MendInput) (*MendResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	if in.inBook != nil {
		in.inBook.lots(s)
	}
	t, err := s.target(in.Target)
	if err != nil {
		return nil, err
	}
	r, err := s.request(t)
	if err != nil {
		return nil, err
	}
	q := mend.Request{
		Shade: r, DeltaE: in.Within, MaxGrowth: in.Growth / 100, NewPowders: in.New,
		NoBase: in.NoBase, BalanceStep: s.balance(),
	}
	if q.Batch, err = s.asWeighed(in); err != nil {
		return nil, err
	}
	if q.KeepGleam = in.Gleam == ""; q.KeepGleam && r.Shimmer != nil {
		r.Shimmer.GleamLo = 0 // what was planned, not the least
	}
	if in.inBook != nil {
		if q.Planned, err = s.parts(in.inBook.made.Parts()); err != nil {
			return nil, err
		}
		q.MaxLoad, q.Shade.Choice.InStock = in.inBook.mostLoad(in), q.Batch.Grams()
	}
	specimen, err := s.specimen(in.Seen)
	if err != nil {
		return nil, err
	}
	out := &MendResult{Wearing: s.wearing(t, r.LoadLo, r.LoadHi), Options: []MendOption{}, Seen: orElse(in.Seen, string(mend.OnSkin))}
	read, err := s.read(in, &q, specimen, t, out)
	if err != nil || read == nil {
		return out, err
	}
	out.Read, q.Readings = &read.Lab, []mend.Reading{*read}
	found, err := mend.Options(ctx, q)
	if err != nil {
		return nil, searched(ctx, err)
	}
	out.ByEye, out.Now = found.ByEye, &found.Missing
	out.Shimmer = &MendShimmer{Gleam: found.Look.Gleam, GleamWord: found.Look.GleamWord, Grain: found.Look.Grain, Planned: found.Planned.Gleam}
	if w := found.Wanted; w != nil && (w.GleamLo > 0 || w.GleamHi > 0) {
		out.Shimmer.Wanted = gleamRange(w.GleamLo, w.GleamHi)
	}
	if in.Looks == "" { // words are too coarse to tell of them
		out.Strengths, out.Left = found.Strengths, found.Unexplained
	}
	for _, c := range found.Options {
		o, err := s.option(c, t)
		if err != nil {
			return nil, err
		}
		if w := found.Wanted; w != nil && w.GleamOff(o.Gleam) {
			o.GleamOff = fmt.Sprintf("Its gleam comes to %.1f, not %s: to keep to that would cost more of the shade.", o.Gleam, out.Shimmer.Wanted)
		}
		if small := c.Trial(q.Batch.Grams(), s.balance()); small != nil {
			o.Trial = &PortionView{small.Grams, added(small.Additions, small.BaseGrams, s.base.Name)}
		}
		out.Options = append(out.Options, *o)
	}
	if n := len(out.Options); n > 0 && (in.Gleam != "" || in.Grain != "") {
		want, err := in.wanted()
		if err != nil {
			return nil, err
		}
		given, err := s.givenUp(&out.Options[n-1].BlendView, nil, want)
		if err != nil {
			return nil, err
		}
		out.Notes = append(out.Notes, given...)
	}
	if b := in.inBook; b != nil {
		b.now, b.grams = &found.State, q.Batch.Grams()
		for _, name := range slices.Sorted(maps.Keys(b.kept)) {
			out.Notes = append(out.Notes, fmt.Sprintf("%s, so none of it is offered.", capital(b.kept[name])))
		}
		if b.none > 0 && (in.New > 0 || len(out.Options) == 0) {
			out.Notes = append(out.Notes, fmt.Sprintf("The book keeps lots, so powders of which it has no lot and your drawer no grams count as not at hand and are not offered, %d of them. Those whose lot is added to the book are.", b.none))
		}
	}
	if len(out.Options) == 0 {
		if out.Advice, err = s.advice(ctx, found, in, out); err != nil {
			return nil, searched(ctx, err)
		}
	}
	return out, nil
}

// advice is what to do where nothing small helps: what takes least, and what it
// would leave.
func (s *setting) advice(ctx context.Context, f *mend.Found, in MendInput, out *MendResult) (string, error) {
	if f.Right() {
		return "Nothing to add.", nil
	}
	c, grow, fresh, err := f.Otherwise()
	if err != nil {
		return "", err
	}
	missing, err := s.withMore(ctx, in)
	if err != nil {
		return "", err
	}
	switch {
	case c == nil && missing != "":
		return "Nothing at hand is sure to help: wear it as it is." + missing, nil
	case c == nil:
		return "Nothing helps, not even a fresh batch of these powders: wear it as it is.", nil
	}
	all := added(c.Additions, c.BaseGrams, s.base.Name)
	what, leaves := addedWords(all, s.balance()), fmt.Sprintf("would leave ΔE00 %.1f", c.DeltaE00)+around(" (", c.Because, ")")
	var more []string
	for _, a := range c.Additions {
		if a.New {
			more = append(more, a.Pigment.Name)
		}
	}
	switch {
	case fresh:
		out.Fresh = &PortionView{c.AfterGrams, all}
		return fmt.Sprintf("Nothing that goes into it is sure to help. A fresh %.4g g, %s, %s; or wear it as it is.", c.AfterGrams, what, leaves) + missing, nil
	case grow > cmp.Or(in.Growth/100, mend.UsualGrowth):
		out.Retry = map[string]int{"grow": int(math.Ceil(100*grow - 1e-9))}
		return fmt.Sprintf("Nothing small helps.%s Cheapest: let it grow by %.3g %% (--grow %d offers it); %s %s. Or wear it as it is.", missing, 100*c.Growth, out.Retry["grow"], what, leaves), nil
	}
	out.Retry = map[string]int{"new": max(len(more), in.New+1)}
	return fmt.Sprintf("Nothing small helps without more powders.%s Cheapest: %s, which brings %s into it and %s (--new %d offers it); or wear it as it is.", missing, what, strings.Join(more, " and "), leaves, out.Retry["new"]), nil
}

// withMore says what would mend a batch of the book if all powders were at hand; blank
// where they are, or that would not help.
func (s *setting) withMore(ctx context.Context, in MendInput) (string, error) {
	if in.inBook == nil || in.inBook.all || in.inBook.none+len(in.inBook.kept) == 0 {
		return "", nil
	}
	all := *in.inBook
	all.all = true
	in.inBook, in.New = &all, max(in.New, 1)
	r, err := Mend(ctx, in)
	if err != nil || len(r.Options) == 0 {
		return "", err
	}
	var lacking []string
	for _, a := range r.Options[0].Additions {
		if a.New && a.Pigment.StockG == plenty {
			lacking = append(lacking, cmp.Or(all.kept[a.Pigment.Name], a.Pigment.Name+" is not at hand: write its lot into the book and ask again"))
		}
	}
	if len(lacking) == 0 {
		return "", nil
	}
	return fmt.Sprintf(" %s would leave ΔE00 %.1f, but %s.", capital(addedWords(r.Options[0].Additions, s.balance())), r.Options[0].DeltaE00, strings.Join(lacking, ", and ")), nil
}

// read is the batch's colour as it was told, one way; nil, with the next pair in
// out, until the answers to pairs make a round.
func (s *setting) read(in MendInput, q *mend.Request, specimen mend.Specimen, t *target, out *MendResult) (*mend.Reading, error) {
	if len(nonEmpty(in.Reading, in.Photo.File, in.Looks, strings.Join(in.Nearer, ""))) > 1 {
		return nil, inputf("more than one of {reading}, {photo}, {looks} and {nearer} is given; one is accepted")
	}
	r := &mend.Reading{Batch: q.Batch, Specimen: specimen}
	r.Specimen.Geometry = colour.Photo // the eye's
	switch {
	case in.Looks != "":
		looks, err := mend.ParseLooks(in.Looks, t.view.Lab)
		if err != nil {
			return nil, input(fmt.Errorf("looks: %w", err))
		}
		if looks.Sparkle != "" {
			grade := map[string]string{"sparkly": "finer", "flat": "coarser"}[looks.Sparkle]
			out.Notes = append(out.Notes, "How single flakes show is the powders' grain, which no small addition changes: make the next batch with a "+grade+" grade.")
		}
		q.GleamBy = looks.GleamBy
		return &mend.Reading{Batch: q.Batch, Specimen: mend.Specimen{Geometry: t.view.Geometry.Assumed()}, Lab: looks.Lab, ByEye: true}, nil
	case in.Photo.File != "":
		photo, err := Photo(in.face, in.Photo, "smear")
		if err != nil {
			return nil, err
		}
		in.inBook.takes(photo.mean)
		r.Lab, r.Error = photo.mean.Lab, math.Hypot(mend.InstrumentError, photo.Repeat)
	case in.Reading != "":
		read, err := in.face.ReadColour(in.Reading)
		if err != nil {
			return nil, input(fmt.Errorf("reading: %w", err))
		}
		if thick := cmp.Or(specimen.Apply, s.apply); read.Geometry == "" && specimen.Where != mend.InJar && thick > unsaidApply {
			return nil, inputf("{reading} does not say how it was read, and at %.3g mg/cm² that counts for more than most mendings; %s is accepted, as in lab:56,12,22/45", thick, colour.GeometryForms)
		}
		in.inBook.takes(read.Reading)
		r.Specimen.Geometry, r.Lab = read.Geometry, read.Lab
		if read.Spectrum != nil {
			r.Lab = s.viewing.Lab(read.Spectrum)
		} else {
			r.Specimen.Viewing = read.Viewing
		}
	default:
		done, err := s.byEye(in, q.Shade, r, out)
		if err != nil || !done {
			return nil, err
		}
	}
	return r, nil
}

// option is one way of mending.
func (s *setting) option(c *mend.Mending, t *target) (*MendOption, error) {
	o := &MendOption{Growth: 100 * c.Growth, AfterGrams: c.AfterGrams, Reached: c.Reached, Additions: added(c.Additions, c.BaseGrams, s.base.Name)}
	if c.BaseGrams > 0 {
		o.Additions[len(o.Additions)-1].WaterGrams = c.WaterGrams
	}
	var powders []*palette.Pigment
	for _, a := range c.Additions {
		powders = append(powders, a.Pigment)
	}
	o.StirIn = s.base.Kind.StirIn(powders)
	v, err := s.lookView(c.Parts, t)
	if err != nil {
		return nil, err
	}
	// The number carries the offset too, which no powder explains.
	v.Rank, v.ColourView, v.DeltaE00 = 1, colourView(s.viewing, c.Lab), c.DeltaE00
	v.compared = v.Lab
	v.Overall = v.DeltaE00
	s.tellOff(v, t)
	_, v.InGamut = s.viewing.Screen(v.Lab)
	v.Sentence = s.sentence(v, t)
	v.Because = c.Because
	o.BlendView = *v
	return o, nil
}

// asWeighed reads what was weighed into the batch.
func (s *setting) asWeighed(in MendInput) (mend.Batch, error) {
	if in.Made == 0 {
		return mend.Batch{}, inputf("no weight of the batch; give {made}, the grams of powders and base together")
	}
	if in.Evaporated > 0 && !s.base.LosesWater() {
		return mend.Batch{}, faultf("evaporated", "is of water, and none dries off %s; leave it out%s. What was taken out or spilt is accepted with {removed}", s.base.Name, when(s.base.Flammable(), ", and make up alcohol with the same alcohol"))
	}
	m := mend.Batch{BatchGrams: in.Made, EvaporatedG: in.Evaporated, RemovedG: in.Removed}
	if len(in.Weighed) == 0 {
		return m, inputf("no powders; give {weighed} 'powder=grams' for each")
	}
	for _, item := range in.Weighed {
		name, grams, err := amount(item, inGrams)
		if err != nil {
			return m, err
		}
		if grams == 0 {
			return m, inputf("%q weighs nothing; more than 0 g is accepted", item)
		}
		g, err := s.drawer.Find(name)
		if err != nil {
			return m, input(err)
		}
		m.Powders = append(m.Powders, mend.Weighed{Pigment: g, Grams: grams})
	}
	return m, input(m.Check())
}

// specimen reads where the colour was looked at.
func (s *setting) specimen(text string) (mend.Specimen, error) {
	where, mg, _ := strings.Cut(strings.ToLower(strings.TrimSpace(text)), ":")
	switch where {
	case "", string(mend.OnSkin):
		return mend.Specimen{}, nil
	case string(mend.InJar):
		specimen := mend.Specimen{Where: mend.InJar}
		if s.base.HasWater() {
			wet, err := film.WetLotion(s.base.OilShare(), s.optics.Index)
			if err != nil {
				return specimen, input(err)
			}
			specimen.Base = &wet
		}
		return specimen, nil
	case string(mend.OnWhite):
		x, err := table.Finite(mg)
		if err != nil || !(x > 0 && x <= film.MaxApply) {
			return mend.Specimen{}, inputf("seen %q; drawdown:MG with mg/cm² on white, more than 0 and at most %g, is accepted", text, film.MaxApply)
		}
		return mend.Specimen{Where: mend.OnWhite, Apply: x}, nil
	}
	return mend.Specimen{}, inputf("seen %q; skin, jar or drawdown:MG (mg/cm² on white) is accepted", text)
}

// byEye follows the answers from pair to pair. It reports false, with the next
// pair in out, until they make whole rounds.
func (s *setting) byEye(in MendInput, shade search.Request, last *mend.Reading, out *MendResult) (done bool, err error) {
	expected, err := mend.Expected(shade, last.Specimen, last.Batch)
	if err != nil {
		return false, input(err)
	}
	at, next, whole, err := mend.Nearer(expected, in.Nearer)
	if err != nil {
		return false, input(fmt.Errorf("nearer: %w", err))
	}
	if whole {
		last.Lab, last.ByEye = at, true
		return true, nil
	}
	view := func(c mend.Choice) ChoiceView { return ChoiceView{c, colourView(s.viewing, c.Lab).Hex} }
	out.Pair = &PairView{view(next.Left), view(next.Right), next.DeltaE00, append([]string{}, in.Nearer...)}
	return false, nil
}

// Picture draws the pair.
func (r *MendResult) Picture() swatches.Drawing {
	p := &swatches.Pair{Viewing: r.setting.viewing, Heading: swatches.Heading{
		Title:  "Which is nearer, left or right?",
		Note:   fmt.Sprintf("%s, seen on: %s; pair %d", orElse(r.setting.in.DemoTitle(), "Mending"), r.Seen, len(r.Pair.Answers)+1),
		Source: "by eye",
	}}
	p.Left, p.Right = swatches.Patch{Name: r.Pair.Left.Words, Lab: r.Pair.Left.Lab}, swatches.Patch{Name: r.Pair.Right.Words, Lab: r.Pair.Right.Lab}
	return p
}
