package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/swatches"
)

var compareJob = &Job{
	Name:     "compare",
	Searches: true,
	Short:    "Set a warm and a cool version of one target side by side",
	Long: `Takes the target towards the yellow of gold powders (warm) and towards rose and
pearl (cool), at the same lightness and strength and as far as those powders go on
this skin at this load (less far where more takes green powder or another family
than the shade's), matches both to gleams within a quarter of each other and to one
grain, or says that the powders do not reach it, and with --out writes one picture
of the two on arms side by side (compare.png, or compare.pdf with --format pdf), on
A4 where the paper is too small. --for client leaves recipes and figures out, and
tells how to wear the two, what is in the two and what to mind, if need be on a back;
it is refused where a client's card is. Two that nobody would see apart are refused.`,
	Example: "  tawny compare --demo --out demo\n  tawny compare --skin tan --target skin:3,5,0 --load 4 --turn 12 --format pdf --out both",
	New: func() Task {
		in := &Input{}
		p := &picture{}
		turn := 0.0
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			for _, name := range []string{"format", "paper", "wide", "dpi", "seed", "flat", "rig", "for", "title"} {
				if !env.Sends && env.given(name) {
					return nil, faultf(name, "is for the picture; give {out} too")
				}
			}
			r, err := Compare(ctx, q, turn, env.Progress)
			if err != nil {
				return nil, err
			}
			if err := env.warnToMend(r.Warm.one(1), r.Cool.one(1)); err != nil || !env.Sends {
				return r, err
			}
			d, err := r.Picture(p.options())
			if err != nil {
				return nil, err
			}
			pages, paper := p.on(env, d)
			return r, env.drawn("compare", p.format, paper, pages...)
		}, in.matchGroups(Group{Title: "Picture", Fields: append(p.paperFields(),
			p.flatField(),
			p.forField(),
			titleField(&in.Title, "what stands over the two (default Warm and cool)"),
			Field{Name: "turn", Words: "degrees of hue to either side (default as far as gold and rose powders go)", Unit: "degrees", High: 90, Above: true, To: &turn},
			outField(""),
		)})...)
	},
}

// Show writes the best blend of each side.
func (r *CompareResult) Show(s *Screen) {
	if r.Title != "" {
		s.line("%s%s", r.Title, when(r.Warm.setting.in.note() != "", " (demo: invented)"))
	}
	s.skinLine(&r.Warm.Skin)
	s.wornLine(&r.Warm.Conditions)
	s.line("Warm is %.0f° of hue to the yellow of the target, cool %.0f° to the red.", r.Turn, r.TurnCool)
	for _, m := range []*MatchResult{r.Warm, r.Cool} {
		s.paragraph("%s      %s%s", m.Title, s.patch(m.Target.Hex), labText(m.Target.Lab))
		s.blend(&m.Blends[0], true)
	}
	s.paragraph("%-12s %-30s %-30s", "", strings.ToLower(r.Warm.Title), strings.ToLower(r.Cool.Title))
	warm, cool := &r.Warm.Blends[0], &r.Cool.Blends[0]
	for _, row := range []struct {
		word string
		of   func(*BlendView) string
	}{
		{"look", func(b *BlendView) string { return b.Look.Name }},
		{"shade", func(b *BlendView) string { return labText(b.Lab) }},
		{"gleam", func(b *BlendView) string { return fmt.Sprintf("%.1f (%s)", b.Gleam, b.GleamWord) }},
		{"seen as", func(b *BlendView) string { return orElse(b.Grain, "no flakes") }},
		{"100 g cost", func(b *BlendView) string { text, _ := b.costText(); return text }},
		{"load", func(b *BlendView) string { return fmt.Sprintf("%.3g %%", b.LoadPercent) }},
	} {
		s.line("%-12s %-30s %-30s", row.word, row.of(warm), row.of(cool))
	}
	s.line("The two differ by ΔE00 %.1f.", r.Between)
	s.fold("", append(r.GivenUp, r.Cool.GivenUp...)...)
}

// gleamsMore is which of the two, so called, gleams more by what a client sees; "" for
// neither.
func (r *CompareResult) gleamsMore(warm, cool string) string {
	a, b := r.Warm.Blends[0].Gleam, r.Cool.Blends[0].Gleam
	switch {
	case b > a*likeGleam+search.GleamShown:
		return cool
	case a > b*likeGleam+search.GleamShown:
		return warm
	}
	return ""
}

// CompareResult is a warm and a cool version of one target.
type CompareResult struct {
	Turn     float64      `json:"turnDegrees"`     // of hue, to the warm side
	TurnCool float64      `json:"turnCoolDegrees"` // and to the cool side
	Warm     *MatchResult `json:"warm"`
	Cool     *MatchResult `json:"cool"`
	// Between is how far apart the two blends look, ΔE00.
	Between float64 `json:"betweenDeltaE00"`
	Title   string  `json:"title,omitempty"`
	// GivenUp says what of the target the two are not.
	GivenUp []string `json:"givenUp,omitempty"`
}

// Of the hues a warm and a cool version are taken to: what they are apart from
// the target at least, degrees, and from each other, ΔE00.
const (
	leastTurn  = 2.0
	mostCool   = 20.0
	nearEnough = 0.9 // ΔE00 off, what is looked for where less far must do; under search.RuleWorth
	farEnough  = 0.7 // what will do
	mostTries  = 3
	leastApart = 4.0 // a little over what two answers should be
)

var soft = film.GleamWords[0].Name

// coolFamilies are those of powders on the cool side of any skin.
var coolFamilies = [...]string{"rose", "silver"}

// sides returns how far a target is turned to the warm and to the cool side,
// degrees: to the hues that gold powders, and rose and pearl ones, give this skin.
func (s *setting) sides(t *target) (warm, cool float64, err error) {
	bare := s.viewing.Lab(&s.skin.Reflectance).LCh()
	at := t.view.Lab.LCh()
	asTarget, err := s.bareIn(t.view.Geometry)
	if err != nil {
		return 0, 0, err
	}
	turn := func(families ...string) (least, most float64, err error) {
		for _, family := range families {
			lab, _, err := s.shade(family, richShade)
			if err != nil {
				return 0, 0, err
			}
			by := colour.HueTurn(at.H, asTarget.LCh().H) + colour.HueTurn(bare.H, lab.LCh().H)
			least, most = math.Min(least, by), math.Max(most, by)
		}
		return least, most, nil
	}
	_, warm, err = turn("gold")
	if err != nil {
		return 0, 0, err
	}
	least, _, err := turn(coolFamilies[:]...)
	if err != nil {
		return 0, 0, err
	}
	warm, cool = math.Max(warm, leastTurn), math.Max(-least, leastTurn)
	to := func(by float64) colour.Lab { return colour.LCh{L: at.L, C: at.C, H: at.H + by}.Lab() }
	for colour.DeltaE00(to(warm), to(-cool)) < leastApart && warm+cool < 90 {
		warm, cool = 1.1*warm, 1.1*cool
	}
	return warm, cool, nil
}

// Compare matches the target turned towards yellow-gold (warm) and towards rose
// (cool): by turn degrees either way, or for 0 as far as powders of those families
// go, the warm one less where only then the nearest keeps the rules and is of the
// family that was asked for.
func Compare(ctx context.Context, in Input, turn float64, progress func(float64)) (*CompareResult, error) {
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	t, err := s.target(in.Target)
	if err != nil {
		return nil, err
	}
	if t.view.Lab.Chroma() < 1 {
		return nil, inputf("target %q is almost grey (C* %.1f), so it has no warm and cool side", in.Target, t.view.Lab.Chroma())
	}
	if err := s.openDrawer(); err != nil {
		return nil, err
	}
	s.in.spareBlack = true // a warm and a cool shimmer are told by their light
	asked := *t
	if s.in.Gleam != "" {
		asked.gleam = ""
	}
	first := asked
	r, err := s.compare(ctx, &asked, turn, progress)
	// Two too alike need not be as soft as asked for, nor then of the family.
	alike := func() bool { return err == nil && turn == 0 && r.Between < search.LooksApart }
	if asked.gleam == soft && alike() {
		asked.gleam = film.GleamWords[1].Name
		r, err = s.compare(ctx, &asked, turn, nil)
	}
	if asked.family != "" && alike() {
		asked.family = ""
		r, err = s.compare(ctx, &asked, turn, nil)
	}
	if err == nil {
		err = r.fromLots(ctx, in.lent())
	}
	if err != nil {
		return nil, err
	}
	warm, cool := &r.Warm.Blends[0], &r.Cool.Blends[0]
	if colour.Unseen(r.Between, colour.MeanL(warm.Lab, cool.Lab)) {
		help := "powders of other hues beside them are wanted"
		if s.in.Drawer != "" && !s.in.AlsoBuiltin {
			help = "{also-built-in} takes built-in powders beside them"
		} else if turn > 0 {
			help = "a greater {turn} is wanted"
		}
		return nil, inputf("these powders make no warm and cool version of %s: %s, warm, and %s, cool, look alike (ΔE00 %.1f); %s", t.view.Words, warm.names(), cool.names(), r.Between, help)
	}
	if asked.gleam != first.gleam && warm.GleamWord != soft && cool.GleamWord != soft {
		r.GivenUp = append(r.GivenUp, "Two of so soft a gleam would look too alike: these gleam more.")
	}
	if asked.family != first.family && !(strings.EqualFold(warm.Light, t.family) && strings.EqualFold(cool.Light, t.family)) {
		r.GivenUp = append(r.GivenUp, fmt.Sprintf("Two of %s would look too alike: these are not both of it.", t.view.Words))
	}
	return r, nil
}

// compare matches both sides, the cool one to the gleam and grain of the warm one.
func (s *setting) compare(ctx context.Context, t *target, turn float64, progress func(float64)) (r *CompareResult, err error) {
	half := func(i float64) func(float64) {
		return func(done float64) {
			if progress != nil {
				progress((i + done) / 2)
			}
		}
	}
	r = &CompareResult{Turn: turn, TurnCool: turn, Title: orElse(strings.TrimSpace(s.in.Title), s.in.DemoTitle())}
	if turn == 0 {
		if r.Turn, r.TurnCool, err = s.sides(t); err != nil {
			return nil, err
		}
	}
	both := r.Turn + r.TurnCool
	if r.Warm, r.Turn, err = s.side(ctx, t, "Warm", r.Turn, turn == 0, half(0)); err != nil {
		return nil, err
	}
	warm := &r.Warm.Blends[0]
	if t.gleam == soft && turn == 0 && !r.Warm.reaches() {
		return r, nil // softness will be given up
	}
	if turn == 0 {
		r.TurnCool = math.Max(r.TurnCool, math.Min(both-r.Turn, r.Turn))
		at := t.view.Lab.LCh()
		for r.TurnCool < mostCool && colour.DeltaE00(warm.compared, colour.LCh{L: at.L, C: at.C, H: at.H - r.TurnCool}.Lab()) < leastApart {
			r.TurnCool *= 1.1
		}
	}
	cooler := r.TurnCool
	for _, within := range [2]float64{likeGleam, nearGleam} {
		beside := *t
		beside.beside, beside.within = warm, within
		if r.Cool, r.TurnCool, err = s.side(ctx, &beside, "Cool", -cooler, turn == 0, half(1)); err != nil {
			return nil, err
		}
		if r.Cool.reaches() && colour.DeltaE00(warm.Lab, r.Cool.Blends[0].Lab) >= search.LooksApart || t.gleam == soft && turn == 0 {
			break
		}
	}
	r.Between = colour.DeltaE00(warm.Lab, r.Cool.Blends[0].Lab)
	return r, nil
}

// fromLots makes both as the book would weigh them, and tells how they look so.
func (r *CompareResult) fromLots(ctx context.Context, env *Env) error {
	for _, m := range []*MatchResult{r.Warm, r.Cool} {
		now, err := env.toWeigh(ctx, m.one(1))
		if err != nil {
			return err
		}
		m.Wearing.setting, m.Blends[0] = now.setting, now.Blend
	}
	s, warm, cool := r.Warm.setting, &r.Warm.Blends[0], &r.Cool.Blends[0]
	r.Between = colour.DeltaE00(warm.Lab, cool.Lab)
	if turn := colour.TurnWords(warm.Lab, cool.Lab); turn != "" && s.lookWords(warm) == s.lookWords(cool) {
		turn, _, _ = strings.Cut(turn, " and ")
		cool.Look.Name = turn + " " + cool.Look.Name
		cool.Sentence = s.sentence(cool, r.Cool.target)
	}
	if more := r.gleamsMore("warm", "cool"); more != "" || warm.GleamWord != cool.GleamWord || warm.Grain != cool.Grain {
		r.Cool.GivenUp = []string{"These powders do not bring both to one gleam and grain" + around(": the ", more, " one gleams more") + "."}
	}
	if cool.Lab.B >= s.viewing.Lab(&s.skin.Reflectance).B {
		r.Warm.Title, r.Cool.Title = "Yellower", "Redder" // nobody calls copper cool
	}
	return nil
}

// reaches reports whether the first answer is near, keeps the rules and looks as was
// asked for.
func (m *MatchResult) reaches() bool {
	b := &m.Blends[0]
	return b.Because == "" && b.Overall <= search.RuleWorth
}

// side matches a target turned by so many degrees, towards yellow or, negative, towards
// red, and tells how many: less where only so an answer is near that keeps the rules, if
// it may be less.
func (s *setting) side(ctx context.Context, t *target, title string, by float64, less bool, progress func(float64)) (best *MatchResult, _ float64, err error) {
	try := func(by float64, keepRules bool, progress func(float64)) (m *MatchResult, err error) {
		turned, err := s.turned(t, by, strings.ToLower(title))
		if err != nil {
			return nil, err
		}
		if keepRules {
			m, err = s.answer(ctx, turned, true, progress)
		} else {
			m, err = s.match(ctx, turned, progress)
		}
		if err == nil {
			m.Title = title
		}
		return m, err
	}
	if !less {
		best, err = try(by, false, progress)
		return best, math.Abs(by), err
	}
	m, err := try(by, true, progress)
	if err != nil || m.reaches() || t.gleam == soft {
		return m, math.Abs(by), err
	}
	// How far off the nearest is grows about as a convex function does.
	near, nearOff, far, farOff := 0.0, 0.0, by, math.Max(m.Blends[0].Overall, 2*nearEnough)
	for range mostTries {
		at := near + (nearEnough-nearOff)/(farOff-nearOff)*(far-near)
		if m, err = try(at, true, nil); err != nil {
			return nil, 0, err
		}
		if off := m.Blends[0].Overall; m.reaches() {
			if best, near, nearOff = m, at, math.Min(off, nearEnough); off > farEnough {
				break
			}
		} else {
			far, farOff = at, math.Max(off, 2*nearEnough)
		}
	}
	if best == nil {
		near = math.Copysign(leastTurn, by)
		best, err = try(near, false, nil)
	}
	return best, math.Abs(near), err
}

// turned is a target with its hue turned, degrees towards yellow from red.
func (s *setting) turned(t *target, by float64, name string) (*target, error) {
	c := t.view.Lab.LCh()
	c.H += by
	u := &target{view: t.view, gleam: t.gleam, beside: t.beside, within: t.within}
	if by > 0 || slices.Contains(coolFamilies[:], t.family) {
		u.family = t.family // a warm rose is a rose, and a cool one
	}
	if t.shift != nil {
		d := *t.shift
		d.DH += by
		u.shift = &d
	}
	u.view.Text = fmt.Sprintf("%s, %s by %.3g°", t.view.Text, name, math.Abs(by))
	u.view.Words = fmt.Sprintf("%s, %s by %.2g°", t.view.Words, name, math.Abs(by))
	u.view.Lab = c.Lab()
	return u, s.place(&u.view, nil)
}

// unseenStep is the L* between two arms that nobody sees (held to cards a client looked
// at).
const unseenStep = 1.5

// grainVerbs say what flakes that are seen as a grain do to an eye.
var grainVerbs = map[string]string{film.GrainWords[0]: "shines evenly", film.GrainWords[1]: "gleams", film.GrainWords[2]: "glitters"}

// Picture sets the two versions beside each other on two arms in the same light,
// the gap between them told.
func (r *CompareResult) Picture(o CardOptions) (*swatches.Card, error) {
	c := &swatches.Card{Heading: swatches.Heading{Title: orElse(r.Title, r.Warm.Title+" and "+strings.ToLower(r.Cool.Title)), Date: r.Warm.setting.in.lent().today()}}
	sides := []*BlendResult{r.Warm.one(1), r.Cool.one(1)}
	remarks, err := besideEachOther(c, []string{r.Warm.Title, r.Cool.Title}, sides, o)
	if err != nil {
		return nil, err
	}
	gap := colour.DifferenceWords(r.Between, colour.MeanL(sides[0].Blend.Lab, sides[1].Blend.Lab))
	c.Rows[1].Gap = either(o.Client, "How they differ: "+gap, fmt.Sprintf("The gap: ΔE00 %.1f, %s", r.Between, gap))
	from, to := sides[0].Blend.Lab, sides[1].Blend.Lab
	if math.Abs(to.L-from.L) < unseenStep {
		from.L = to.L // nobody sees it beside a turn of hue
	}
	if t := colour.TurnWords(from, to); t != "" && t != strings.ToLower(r.Cool.Title) {
		c.Rows[1].Gap += "; the one on the right is " + t
	}
	c.Rows[1].Gap += around("; the one on the ", r.gleamsMore("left", "right"), " gleams more")
	if left, right := grainVerbs[sides[0].Blend.Grain], grainVerbs[sides[1].Blend.Grain]; left != right && left != "" && right != "" {
		c.Rows[1].Gap += "; the left " + left + ", the right " + right
	}
	c.Rows[1].Gap += "." + around(" ", strings.Join(r.GivenUp, " "), "")
	for i, best := range sides {
		c.Rows[i].Right = capital(best.ownLook())
	}
	if o.Client {
		c.Note = r.Warm.setting.clientNote(c.Title)
		return c, nil
	}
	var recipes swatches.Columns
	for i, best := range sides {
		weigh, err := best.weigh()
		if err != nil {
			return nil, err
		}
		weigh.Name, weigh.Named = c.Rows[i].Name, true
		recipes = append(recipes, weigh)
		c.Blocks = append(c.Blocks, swatches.Numbers{Row: &c.Rows[i], Title: c.Rows[i].Name, Named: true})
	}
	c.Blocks = append(c.Blocks, recipes, boardFacts(c, append(remarks, r.Warm.setting.extrapolated())))
	return c, nil
}
