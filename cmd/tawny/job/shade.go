package job

import (
	"fmt"
	"strings"

	"tawny/blend/film"
	"tawny/blend/jar"
	"tawny/blend/palette"
	"tawny/colour"
)

// shadeWords are the trade's words for a shimmer's shade, each with the family
// of powders that has it (common practice).
var shadeWords = []struct{ word, family string }{
	{"pearl", "silver"}, {"champagne", "champagne"}, {"gold", "gold"}, {"rose", "rose"}, {"bronze", "bronze"}, {"copper", "copper"},
	{"russet", "fox"}, {"peach", "peach"}, {"violet", "violet"}, {"blue", "blue"}, {"green", "green"},
}

// How much of the load is the family's powder, the rest clear: a shade asked for
// by its name alone leaves room for a soft and a rich one (a convention of this
// tool).
const (
	softShade  = 0.4
	plainShade = 0.7
	richShade  = 1.0
)

// shadeList is the words for an error or a help.
func shadeList() string {
	return strings.Join(ShadeNames(), ", ") + " or a jar's word such as peach or rose gold, each also soft or rich"
}

// ShadeNames lists the words for a shade, for a face to offer.
func ShadeNames() (words []string) {
	for _, s := range shadeWords {
		words = append(words, s.word)
	}
	return words
}

// shadeWord reads a shade in trade words; soft or rich may stand with them.
func shadeWord(text string) (family string, share float64, ok bool) {
	var kept []string
	for _, word := range strings.Fields(strings.ToLower(strings.ReplaceAll(text, ",", " "))) {
		of := map[string]float64{"soft": softShade, "softly": softShade, "rich": richShade, "richly": richShade}[word]
		switch {
		case of == 0:
			kept = append(kept, strings.TrimSuffix(word, "ish"))
		case share != 0:
			return "", 0, false
		default:
			share = of
		}
	}
	words := strings.Join(kept, " ")
	if share == 0 {
		share = plainShade
	}
	for _, s := range shadeWords {
		if s.word == words {
			return s.family, share, true
		}
	}
	// Other words for a colour, as jars have them: rose gold, honey.
	powder := jar.PowderOf(words)
	if powder == "" {
		return "", 0, false
	}
	built, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		return "", 0, false
	}
	g, err := built.Find(powder)
	for _, s := range shadeWords {
		if err == nil && s.family == g.Family {
			return s.family, share, true
		}
	}
	return "", 0, false
}

// shade is the colour that a family's powders give this skin at this load: the
// mean of them, so that it is about what can be had; from says whose.
func (s *setting) shade(family string, share float64) (lab colour.Lab, from string, err error) {
	if err := s.openDrawer(); err != nil {
		return lab, "", err
	}
	pick := func(d *palette.Drawer, of string) (list []*palette.Pigment) {
		for _, g := range d.Pigments {
			if g.Optics.Flake && strings.EqualFold(g.Family, of) {
				list = append(list, g)
			}
		}
		return list
	}
	powders, clear, whose := pick(s.drawer, family), pick(s.drawer, "plain"), "this drawer"
	if len(powders) == 0 || len(clear) == 0 {
		own, err := palette.Builtin(s.optics.Index)
		if err != nil {
			return lab, "", err
		}
		if len(powders) == 0 {
			powders, whose = pick(own, family), "the built-in drawer, this one having none,"
		}
		if len(clear) == 0 {
			clear = pick(own, "plain")
		}
	}
	_, load := s.in.loads()
	for _, g := range powders {
		parts := []film.Part{{Pigment: g, Percent: share * load}}
		if share < 1 {
			parts = append(parts, film.Part{Pigment: clear[0], Percent: (1 - share) * load})
		}
		r, err := film.Diffuse(s.worn(parts, s.apply, s.tilt))
		if err != nil {
			return lab, "", input(err)
		}
		c := s.viewing.Lab(&r)
		n := float64(len(powders))
		lab.L, lab.A, lab.B = lab.L+c.L/n, lab.A+c.A/n, lab.B+c.B/n
	}
	return lab, fmt.Sprintf("what the %s powders of %s make of this skin at a load of %.3g %%; with other jars it is another shade", family, whose, load), nil
}
