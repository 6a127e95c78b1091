package skin

import (
	"fmt"
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/parallel"
)

// presetITA is the angle of each preset, degrees: the middle of its class, and
// for the two whose class has one end only, the lightest bin of measured faces
// and the middle of the deep half of them.
var presetITA = [Classes]float64{VeryLight: 62, Light: 48, Intermediate: 34.5, Tan: 19, Brown: -10, Dark: -45}

// tradeWords are what else a maker calls a preset (common practice).
var tradeWords = map[string]Class{
	"fair": VeryLight, "pale": VeryLight, "medium": Intermediate, "tanned": Tan, "deep": Dark,
}

// AlsoCalled are the other words for a preset, in order of the alphabet.
func AlsoCalled(preset string) (words []string) {
	for word, c := range tradeWords {
		if c.String() == preset {
			words = append(words, word)
		}
	}
	slices.Sort(words)
	return words
}

var madePresets parallel.Once[Site, []Skin]

// Presets returns the presets of the face.
func Presets() []Skin { return Face.Presets() }

// Presets returns a site's presets, lightest first: of each class the middle of
// measured skin at its angle, between the two nearest groups of people where it
// falls between; a stand-in for a reading, and no one's skin. A class no one
// was measured near has none. A palm is that of a person whose hand is of the
// class. Where the site is not said they are the face's.
func (s Site) Presets() []Skin {
	s = max(s, Face)
	all, _ := madePresets.Get(s, func() ([]Skin, error) { return makePresets(s), nil })
	return slices.Clone(all)
}

func makePresets(s Site) (all []Skin) {
	t := &tables[s]
	for c, ita := range presetITA {
		class := Class(c)
		first, last := t.class[0], t.class[len(t.class)-1]
		if ita < first && ClassOf(first) != class || ita > last && ClassOf(last) != class {
			continue
		}
		m := t.at(ita, t.class)
		p, err := FromReading(colour.Reading{Text: class.String(), Lab: m.colour, Viewing: colour.D65, Geometry: colour.DI})
		if err != nil {
			panic(err) // the tables are compiled in
		}
		p.Method, p.Preset, p.Site, p.Undertone = FromModel, true, s, s.undertone(m.colour)
		p.Note = "a stand-in for a reading, from the " + fmt.Sprintf(t.people, m.readings)
		all = append(all, p)
	}
	return all
}

// Find returns the face's preset of a name; see [Site.Find].
func Find(name string) (Skin, error) { return Face.Find(name) }

// Find returns a site's preset of a name or of one of the trade's words. Case
// does not matter, and very-light is very light.
func (s Site) Find(name string) (Skin, error) {
	key := presetKey(name)
	if c, ok := tradeWords[key]; ok {
		key = c.String()
	}
	var names []string
	for _, p := range s.Presets() {
		if p.Name == key {
			return p, nil
		}
		called := p.Name
		if also := AlsoCalled(p.Name); len(also) > 0 {
			called += " (also " + strings.Join(also, ", ") + ")"
		}
		names = append(names, called)
	}
	accepted := "accepted are " + strings.Join(names, ", ")
	for _, c := range classNames {
		if c == key {
			return Skin{}, fmt.Errorf("no %s of this class was measured, so there is no preset %q; %s", s, name, accepted)
		}
	}
	hint := ""
	near := colour.Nearest(key, classNames[:])
	if colour.EditDistance(key, near) <= max(2, len(key)/3) {
		hint = fmt.Sprintf("; did you mean %s?", near)
	}
	return Skin{}, fmt.Errorf("no skin is called %q%s; %s", name, hint, accepted)
}

func presetKey(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '\t'
	}), " ")
}
