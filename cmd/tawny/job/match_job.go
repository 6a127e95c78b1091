package job

import (
	"context"
	"fmt"
	"math"
	"strings"

	"tawny/blend/mend"
	"tawny/colour"
)

var matchJob = &Job{
	Name:     "match",
	Searches: true,
	Short:    "Find blends that come nearest a target on a skin",
	Long: `Tries every blend of at most --max powders at the load and ranks them.

What is found is a shimmer: of at least the least gleam, a third of it flakes at
the least. Of those at most ΔE00 0.3 farther than the nearest the one comes first
that should be seen nearest, what moves it counted: flakes' tilts, coats, strengths.
Without a gleam asked for, blends nearer the target than ΔE00 0.3 count as equally
good. Equals are told apart by fewer powders, then a smaller shift between lights, then
cost. Those listed look different: by grain, gleam, family of powder or colour in the light;
--twins shows what was folded under them. Every powder weighs five steps of the
balance or more, at most a third is ordinary pigment, and green, blue and violet
powders stay out, unless that leaves the shade over ΔE00 1 farther off.
With --out the best one's swatch card (card.png, its back card-2.png), batch sheet
(sheet.txt), both from the lots that 'tawny book save' would take, and data (match.json)
are written.`,
	Example: "  tawny match --demo --out demo\n  tawny match --skin lab:64.1,11.3,14.4 --target skin:3,5,8 --load 4\n  tawny match --skin brown --target skin:6,4,0 --load-max 5 --use 'clear mica' --json",
	New: func() Task {
		in := &Input{}
		var reach bool
		p := &picture{seed: 1}
		return in.asking(func(ctx context.Context, env *Env, q Input) (Result, error) {
			m, err := Match(ctx, q, env.Progress)
			if err != nil {
				return nil, err
			}
			best := m.one(1)
			b, unscaled := best.scaled()
			if env.Sends {
				var lots []string
				if best, b, lots, err = env.planned(ctx, best); err != nil {
					return nil, err
				}
				m.Notes = append(m.Notes, lots...)
			}
			if unscaled == nil {
				m.Notes = append(m.Notes, toMend(b.Findings)...)
			}
			if reach {
				if m.Reach, err = mend.Reach(ctx, m.result.Request, m.result); err != nil {
					return nil, searched(ctx, err)
				}
				kind := m.setting.base.Kind
				usual := kind.UsualLoad()
				m.Reach.WeighUp(usual.Low, usual.High, string(kind))
			}
			if env.Sends {
				err = m.deliver(env, best, p.options())
			}
			return m, err
		}, in.matchGroups(Group{Title: "Answer", Fields: []Field{
			{Name: "reach", Words: "work out which load, coverage or further powder would come nearer (seconds)", To: &reach},
			p.flatField(),
			rigField(&p.rig),
			outField(""),
		}})...)
	},
}

// Show writes the blends found, the best in full.
func (m *MatchResult) Show(s *Screen) {
	if m.Title != "" {
		s.line("%s (demo: invented)", m.Title)
	}
	s.skinLine(&m.Skin)
	s.targetLine(m.Target)
	s.wornLine(&m.Conditions)
	s.line("")
	for i := range m.Blends {
		s.blend(&m.Blends[i], true)
	}
	if len(m.Front) > 1 {
		s.paragraph("Nearest by number of powders: %s.", listed(m.Front, ", ", func(b BlendView) string {
			return fmt.Sprintf("%s ΔE00 %.2f", plural(len(b.Parts), "powder"), b.Overall)
		}))
	}
	s.fold("", "Gleam is how many L* lighter it is towards the lamp.")
	s.paragraphs(append(m.GivenUp, m.Notes...))
	if m.Reach != nil {
		s.reach(m.Reach)
	} else if m.Blends[0].Overall >= 1 {
		s.fold("", "--reach works out what would come nearer.")
	}
}

// reach tells what would come nearer a target out of reach.
func (s *Screen) reach(r *mend.ReachReport) {
	s.line("")
	if r.Missing.DeltaE00 <= r.Within {
		s.fold("", "The shade is reached"+butNot(r.Lacks)+".")
		return
	}
	s.line("What would come nearer:")
	tell := func(v *mend.Route) {
		if v == nil {
			return
		}
		how := either(v.Reaches, "reaches the shade,", "comes to")
		text := fmt.Sprintf("%s: %s ΔE00 %.2f%s; powders of 100 g cost %.2f", v.Words, how, v.DeltaE00, butNot(v.Lacks), v.Cost)
		s.fold("  ", text+when(v.Cheapest, ", the cheapest way out")+around(". Caution: ", v.Caution, "."))
	}
	tell(r.Load)
	tell(r.Coverage)
	for i := range r.Powders {
		tell(&r.Powders[i])
	}
	tell(r.Together)
}

// butNot says what of a shimmer is lacking, after what is reached.
func butNot(lacks []string) string { return around(", but not ", strings.Join(lacks, " or "), "") }

func (s *Screen) skinLine(k *SkinView) {
	what := k.Class + when(k.Preset, " preset, a stand-in for a reading")
	s.line("Skin      %s%s   %s, %s undertone; shifts by ΔE00 %.1f under the second light", s.patch(k.Hex), labText(k.Lab), what, k.Undertone.Word, k.LightShift)
	if !k.Preset {
		s.line("          %s", k.Geometry.Words())
	}
}

func (s *Screen) targetLine(t *TargetView) {
	s.line("Target    %s%s   %s", s.patch(t.Hex), labText(t.Lab), shiftWords(t.Shift)+" than the skin")
	_, shift, _ := relative(t.Text)
	if _, _, words := shadeWord(t.Text); !shift && !words {
		s.line("          %s", t.Geometry.Words())
	}
}

func (s *Screen) wornLine(c *ConditionsView) {
	load := fmt.Sprintf("load %.4g %%", c.LoadMax)
	switch {
	case c.LoadMin == 0 && c.LoadMax > 0:
		load = fmt.Sprintf("load at most %.4g %%", c.LoadMax)
	case c.LoadMin != c.LoadMax:
		load = fmt.Sprintf("load %.4g to %.4g %%", c.LoadMin, c.LoadMax)
	}
	worn := around("", c.Coverage, ", ") + when(c.SurfaceTilt > 0, fmt.Sprintf("surface tilting by %.3g°, ", c.SurfaceTilt))
	s.line("Worn      %s%.3g mg/cm², %s in %s", worn, c.Apply, load, c.Base)
	s.line("          seen under %s; the second light is %s", c.Light, c.SecondLight)
}

// blend writes a blend, the best in full and the others in short.
func (s *Screen) blend(b *BlendView, target bool) {
	s.blendLines(b, target)
	if b.Rank > 1 {
		return
	}
	if n := len(b.Angles); n > 0 {
		s.line("    turned from the lamp's mirror (15°) away from it (110°): %s", shiftWords(b.Travel))
	}
	if b.Uncertainty != nil {
		s.fold("    ", uncertaintyWords(b.Uncertainty))
	}
}

// blendLines writes a blend's powders, look, colour and cost.
func (s *Screen) blendLines(b *BlendView, target bool) {
	s.line("%2d  %s%s", b.Rank, s.patch(b.Hex), b.shares(2))
	if b.Rank == 1 {
		s.fold("    ", b.Sentence)
	} else {
		s.line("    %s", b.Look.Name)
	}
	all := when(math.Abs(b.Overall-b.DeltaE00) > 0.005, fmt.Sprintf("%.2f over all that was wanted; in even light ", b.Overall))
	off := when(target, fmt.Sprintf("ΔE00 %s%.2f, %s%s; ", all, b.DeltaE00, b.Words, around(" (", b.Off, ")")))
	s.line("    %s   %sshifts by %.1f under the second light", labText(b.compared), off, b.LightShift)
	if b.compared != b.Lab {
		s.line("    %s   read as the skin was", labText(b.Lab))
	}
	for _, a := range b.Angles {
		if a.DeltaE00 != nil {
			s.line("    at %.0f° %s   ΔE00 %.2f from what was wanted there", a.Aspecular, labText(a.Lab), *a.DeltaE00)
		}
	}
	cost, known := b.costText()
	cost = when(known, "; powders of 100 g cost "+cost+when(b.DemoPrices, " (with demo prices)"))
	s.line("    %s; covers %.0f %% of the skin%s; %s", gleamText(b), 100*b.Covered, cost, b.Source)
	s.fold("    ", around("", b.Because, "."))
	for _, p := range b.Premix {
		s.fold("    ", fmt.Sprintf("%s goes in as a premix of one part in %d of %s: %.3g g of it.", p.Powder, p.Parts, p.Carrier, p.TakeG))
	}
	if b.Twins > 0 {
		s.line("    %s %s", plural(b.Twins, "more blend"), either(b.Twins == 1, "looks like it", "look like it"))
	}
	for i := range b.Alike {
		t := BlendView{Parts: b.Alike[i].Parts}
		s.line("      %s   ΔE00 %.2f%s", t.shares(2), b.Alike[i].DeltaE00, when(b.Alike[i].Cost > 0, fmt.Sprintf(", cost %.2f", b.Alike[i].Cost)))
	}
}

// costText is what the powders of 100 g cost, where the price of each is known.
func (b *BlendView) costText() (text string, known bool) {
	for _, p := range b.parts {
		if p.Pigment.PricePerG <= 0 {
			return "not known", false
		}
	}
	return fmt.Sprintf("%.2f", b.Cost), true
}

// gleamText tells a blend's gleam, with its doubt, and its grain.
func gleamText(b *BlendView) string {
	text := fmt.Sprintf("gleam %s (%s", gleamFigure(b.Gleam), b.GleamWord) +
		when(b.GleamFactor > 1, fmt.Sprintf("; between %.1f and %.1f", b.Gleam/b.GleamFactor, b.Gleam*b.GleamFactor))
	if b.Grade != "" && b.Grade != b.Grain {
		return text + ")" + around(", its flakes showing on this skin as those of a ", b.Grain, "")
	}
	return text + ")" + around(", ", b.Grain, "")
}

// shiftWords says a shift.
func shiftWords(d colour.LChShift) string {
	return fmt.Sprintf("%.1f %s, %.1f %s, %.0f° %s",
		math.Abs(d.DL), colour.LightnessWords.Of(d.DL), math.Abs(d.DC), colour.ChromaWords.Of(d.DC), math.Abs(d.DH), colour.WarmthWords.Of(d.DH))
}
