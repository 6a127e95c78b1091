package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/swatches"
	"tawny/swatches/shimmer"
)

// Board draws a table of looks of kind loads, coverages or lights; loads are
// % w/w, nil for a usual ladder.
func (r *BlendResult) Board(kind string, loads []float64, o CardOptions) (*swatches.Card, error) {
	s := r.setting
	b := &swatches.Card{Heading: r.heading(), Seed: o.Seed, Rig: o.Rig, Unmeasured: unmeasured(r)}
	weigh, err := r.weigh()
	if err != nil {
		return nil, err
	}
	b.Blocks = append(b.Blocks, weigh)
	o, why := r.lit(o)
	var remarks []string
	views := []*colour.Viewing{s.viewing}
	switch kind {
	case "loads":
		if len(loads) == 0 {
			loads = []float64{1, 2, 3, 4, 6}
		}
		remarks = append(remarks, fmt.Sprintf("Columns: load, %% w/w of the product. Worn at %s. Weights are for %.4g %%; the powders keep their shares at every load.", s.coverageWords(), r.Blend.LoadPercent))
	case "lights":
		views = append(views, s.second)
		remarks = append(remarks, r.shiftRemark())
	}
	for _, v := range views {
		row, err := r.row(either(kind == "lights", v.Illuminant.Name, orElse(s.herName(), s.skin.Name)), v)
		if err != nil {
			return nil, err
		}
		if kind != "loads" {
			_, err = r.coverages(&row, o)
		}
		for i := 0; i < len(loads) && err == nil; i++ {
			l := swatches.Look{Patch: swatches.Patch{Name: fmt.Sprintf("%.4g\u00a0%%", loads[i])}}
			err = r.look(&row, l, film.Scaled(r.Blend.parts, loads[i]), s.apply, s.tilt, o)
		}
		if err != nil {
			return nil, err
		}
		b.Rows = append(b.Rows, row)
	}
	if len(b.Rows) == 1 {
		b.Lead = fmt.Sprintf("On %s: %s.", b.Rows[0].Name, r.ownLook())
		b.Blocks = append(b.Blocks, swatches.Numbers{Row: &b.Rows[0], Named: true})
	}
	b.Blocks = append(b.Blocks, boardFacts(b, append(remarks, why, r.readAs(), s.extrapolated())))
	return b, nil
}

// boardFacts are what holds for every row, and the remarks.
func boardFacts(b *swatches.Card, remarks []string) swatches.Text {
	var lines, lights, aims []string
	along := "foot"
	for i := range b.Rows {
		r := &b.Rows[i]
		lights = append(lights, r.Viewing.Illuminant.Plain+" ("+r.Viewing.Name()+")")
		if r.Target != nil {
			aims = append(aims, r.Target.Name)
		}
		if r.Gap != "" {
			along = "right"
		}
	}
	if one := slices.Compact(slices.Clone(lights)); len(one) == 1 {
		lines = append(lines, "Light: "+one[0])
	} else {
		for i, light := range lights {
			b.Rows[i].Right = light
		}
	}
	if b.Rows[0].Skin.Film != nil && len(b.Rows[0].Looks[0].Words) > 0 {
		lines = append(lines, "Glints: "+glintsIn+andOther)
	}
	switch aims = slices.Compact(aims); len(aims) {
	case 0:
	case 1:
		lines = append(lines, "Target, along the "+along+" of the strip: "+aims[0])
	default:
		lines = append(lines, "Targets, along the "+along+" of their strips: "+strings.Join(aims, "; "))
	}
	return swatches.Text{Lines: nonEmpty(append(lines, remarks...)...), Small: true}
}

// row begins a row under a light, bare skin first; what was aimed at holds for
// the light matched in.
func (r *BlendResult) row(name string, v *colour.Viewing) (row swatches.Row, err error) {
	bare, err := film.Diffuse(r.seen(nil, 0, r.setting.tilt))
	row = swatches.Row{Name: name, Viewing: v, Skin: swatches.Patch{Name: "bare skin", Lab: v.Lab(&bare)}}
	if r.target != nil && v == r.setting.viewing {
		row.Target = &swatches.Patch{Name: r.target.view.Words, Lab: r.target.view.Lab}
	}
	return row, input(err)
}

// seen is a worn blend as it is drawn: read as the target was, which it is set
// beside, else as the skin was.
func (r *BlendResult) seen(parts []film.Part, apply, tilt float64) film.Worn {
	return r.setting.wornAs(parts, apply, tilt, r.target)
}

// readAs says how the colours of a drawing are read where that is not how the skin
// was.
func (r *BlendResult) readAs() string {
	if r.target == nil || r.target.view.Geometry.Assumed() == r.setting.ground().Geometry.Assumed() {
		return ""
	}
	return "Colours, skin's and target's too: " + r.target.view.Geometry.Words() + "."
}

// herName is that of the demo's dancer or of the book's client, or "".
func (s *setting) herName() string {
	if _, ok := clientOf(s.in.Skin); ok {
		return s.skin.Name
	}
	return s.in.demoDancer
}

// coverages adds the blend rubbed in, smoothed on and laid on full to a row, the
// coverage asked for among them, which it returns.
func (r *BlendResult) coverages(row *swatches.Row, o CardOptions) (film.Coverage, error) {
	worn, matched := film.Beside(r.setting.apply, r.setting.tilt)
	if o.Client {
		row.Worn = matched + 1
	}
	for i, c := range worn {
		l := swatches.Look{Matched: i == matched && row.Target != nil && len(r.setting.in.Parts) == 0, Amount: fmt.Sprintf("%.3g\u00a0mg/cm²", c.MgPerCM2)}
		if l.Name = c.Name; c.Plain == "" && (!l.Matched || o.Client) {
			l.Name = "as chosen"
		}
		if err := r.look(row, l, r.Blend.parts, c.MgPerCM2, c.SigmaDeg, o); err != nil {
			return film.Coverage{}, err
		}
	}
	return worn[matched], nil
}

// coverageWords says how thickly the setting's product is worn.
func (s *setting) coverageWords() string {
	return fmt.Sprintf("%.3g mg/cm²", s.apply) + around(" (", s.coverage, ")")
}

// look adds a worn blend to a row, with its flakes where they are pictured.
func (r *BlendResult) look(row *swatches.Row, l swatches.Look, parts []film.Part, apply, tilt float64, o CardOptions) error {
	worn, err := film.Diffuse(r.seen(parts, apply, tilt))
	if err != nil {
		return input(err)
	}
	l.Lab = row.Viewing.Lab(&worn)
	glints, err := r.setting.glints(parts, apply, tilt)
	if err != nil {
		return err
	}
	if l.Words = nonEmpty(glints); row.Name != "" {
		l.Words = nonEmpty(undertoneShort(row.Skin.Lab, l.Lab), glints)
	}
	if o.Shimmer {
		w := r.setting.worn(parts, apply, tilt)
		w.Light = row.Viewing
		if row.Skin.Film == nil {
			bare := w
			bare.Parts, bare.Apply = nil, 0
			if row.Skin.Film, err = shimmer.Of(bare); err != nil {
				return input(err)
			}
		}
		if l.Film, err = shimmer.Of(w); err != nil {
			return input(err)
		}
	}
	row.Looks = append(row.Looks, l)
	return nil
}

// skinsResult is the blend on each of several skins.
type skinsResult struct {
	Kind  string         `json:"kind"`
	Skins []*BlendResult `json:"skins"`

	unreached []string
}

// Show lists the skins.
func (v *skinsResult) Show(s *Screen) {
	for _, r := range v.Skins {
		s.skinLine(&r.Skin)
	}
}

// SkinsBoard sets the same blend, or the best match for each skin, on several
// skins: a row a skin, bare skin first.
func SkinsBoard(ctx context.Context, in Input, skins []string, o CardOptions) (*swatches.Card, *skinsResult, error) {
	if len(skins) < 2 || len(skins) > swatches.MaxRows {
		return nil, nil, inputf("%s; 2 to %d are accepted", plural(len(skins), "skin"), swatches.MaxRows)
	}
	b := &swatches.Card{Heading: swatches.Heading{Title: orElse(strings.TrimSpace(in.Title), "On several skins"), Date: in.lent().today()}}
	all := &skinsResult{Kind: "skins"}
	var names []string
	for i, skin := range skins {
		one := in.on(skin)
		one.Rank = 1
		r, result, err := one.blended(ctx, nil)
		if err != nil {
			return nil, nil, err
		}
		if m, ok := result.(*MatchResult); ok {
			for _, n := range m.unreached() {
				all.unreached = append(all.unreached, "On "+r.Skin.Name+": "+n)
			}
		}
		if !o.Client { // it tells what to weigh
			if r, err = in.lent().toWeigh(ctx, r); err != nil {
				return nil, nil, err
			}
		}
		name := r.setting.skin.Name
		if o.Client && !r.Skin.Preset && r.setting.herName() == "" {
			name = fmt.Sprintf("skin %d, %s", i+1, r.Skin.Class)
		}
		all.Skins, names = append(all.Skins, r), append(names, name)
	}
	remarks, err := besideEachOther(b, names, all.Skins, o)
	if err != nil {
		return nil, nil, err
	}
	first := all.Skins[0]
	if o.Client {
		for i, r := range all.Skins {
			b.Rows[i].Right = capital(r.ownLook())
		}
		look := func(r *BlendResult) string { return r.setting.lookWords(&r.Blend) }
		if in.Title == "" && !slices.ContainsFunc(all.Skins, func(r *BlendResult) bool { return look(r) != look(first) }) {
			b.Title = capital(look(first)) + " on several skins"
		}
		return b, all, nil
	}
	stated := len(in.Parts) > 0
	each := either(stated, "Worn", "Each skin's own blend, matched")
	var beyond []string
	for i, r := range all.Skins {
		weigh, err := r.weigh()
		if err != nil {
			return nil, nil, err
		}
		recipe := r.recipe(weigh)
		if i == 0 {
			remarks = append(remarks, fmt.Sprintf("%s at %s; weights are for %.4g g of %s.", each, first.setting.coverageWords(), weigh.BatchGrams, weigh.Base))
		}
		if stated {
			b.Lead = recipe[0]
		} else {
			b.Rows[i].Words = recipe
			for k := range b.Rows[i].Looks {
				b.Rows[i].Looks[k].Words = nil
			}
		}
		if r.setting.skin.Extrapolated {
			beyond = append(beyond, r.setting.skin.Name)
		}
	}
	if len(beyond) > 0 {
		remarks = append(remarks, strings.Join(beyond, ", ")+": skin outside those the model was fitted to, so its spectrum is extrapolated.")
	}
	b.Blocks = append(b.Blocks, boardFacts(b, remarks))
	return b, all, nil
}

// besideEachOther sets blends on a card, a row each by its name: bare skin, then each
// coverage. A client is told under them how to wear each; remarks are for a maker.
func besideEachOther(c *swatches.Card, names []string, blends []*BlendResult, o CardOptions) (remarks []string, err error) {
	for _, r := range blends { // all lit or none
		var why string
		o, why = r.lit(o)
		remarks = append(remarks, why)
	}
	c.Rig, c.Seed, c.Unmeasured = o.Rig, o.Seed, unmeasured(blends...)
	var told [][]swatches.Block
	for i, r := range blends {
		row, err := r.row(names[i], r.setting.viewing)
		if err != nil {
			return nil, err
		}
		as, err := r.coverages(&row, o)
		if err != nil {
			return nil, err
		}
		wear, err := r.wearing(as, o.Client)
		if err != nil {
			return nil, err
		}
		told = append(told, wear)
		if as := r.readAs(); !slices.Contains(remarks, as) {
			remarks = append(remarks, as)
		}
		if note := r.note(); len(note) > len(c.Note) {
			c.Note = note
		}
		c.Rows, c.Source = append(c.Rows, row), r.Blend.Source
	}
	if o.Client {
		blends[0].setting.plain(c)
		c.Blocks = append(c.Blocks, wornAlike(names, told)...)
	}
	return remarks, nil
}

// recipe is a row's own blend in lines: what to weigh, then how it looks worn
// as it was matched.
func (r *BlendResult) recipe(w *swatches.Blend) []string {
	words := listed(w.Parts, " + ", func(p swatches.Part) string {
		return fmt.Sprintf("%s %.2f\u00a0%%\u00a0(%.*f\u00a0g)", p.Powder, p.Percent, w.Decimals, p.Grams)
	})
	return []string{words + fmt.Sprintf(" =\u00a0load\u00a0%.4g\u00a0%%", r.Blend.LoadPercent), r.sentence(false)}
}
