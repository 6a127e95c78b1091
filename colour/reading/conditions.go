package reading

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// conditions are how readings were taken: a [colour.Geometry], a name that
// [colour.FindIlluminant] knows, "2" or "10". Empty means not stated.
type conditions [3]string

const (
	byGeometry = iota
	byLight
	byObserver
)

// stating is how each is stated.
var stating = [len(conditions{})]struct {
	key   string
	parse func(string) (string, error)
}{{"geometry", parseGeometry}, {"illuminant", parseIlluminant}, {"observer", parseObserver}}

func (c conditions) stated() bool { return c[byLight] != "" || c[byObserver] != "" }

func (c conditions) geometry() colour.Geometry { return colour.Geometry(c[byGeometry]) }

// viewings makes each pair of light and observer once.
type viewings map[string]*colour.Viewing

// get returns the viewing of c; its names have been checked.
func (v viewings) get(c conditions, fallback string) *colour.Viewing {
	light, observer := cmp.Or(c[byLight], fallback), cmp.Or(c[byObserver], "2")
	key := light + "/" + observer
	if key == "D65/2" {
		return colour.D65
	}
	if v[key] == nil {
		l, _ := colour.FindIlluminant(light)
		o, _ := colour.ParseObserver(observer)
		v[key] = colour.NewViewing(l, o)
	}
	return v[key]
}

func parseGeometry(text string) (string, error) {
	g, err := colour.ParseGeometry(text)
	return string(g), err
}

// gloss takes what is said of the gloss beside a geometry: included is a
// sphere's, and excluded tells nothing new at 45°:0° or of a photo.
func (c *conditions) gloss(said string) error {
	g, err := colour.ParseGeometry(said)
	if err != nil {
		return fmt.Errorf("gloss %q is not known; included or excluded is accepted", said)
	}
	if now := c.geometry(); g != colour.DE || now != colour.At45 && now != colour.Photo {
		c[byGeometry] = string(g)
	}
	return nil
}

// unsaidGeometry is what is noted, after its name, of a file that does not say how
// it was read.
const unsaidGeometry = " does not say how it was read, so a sphere with gloss included was taken; '# geometry: de', 45 or photo says otherwise"

// unsaid notes a file that does not say how it was read.
func (c conditions) unsaid(file string, notes *Notes) {
	if c.geometry() == "" {
		notes.add("%s", file+unsaidGeometry)
	}
}

// Told returns the notes for one who knows from elsewhere how a file was read.
func (n Notes) Told() Notes {
	return slices.DeleteFunc(slices.Clone(n), func(note string) bool { return strings.HasSuffix(note, unsaidGeometry) })
}

// GeometryOf returns what a file's '# key: value' lines say of how its readings
// were taken, "" where they say nothing.
func GeometryOf(f *table.File) (colour.Geometry, error) {
	c, err := (&sampleTable{File: f}).conditions()
	return c.geometry(), err
}

func parseIlluminant(text string) (string, error) {
	l, err := colour.FindIlluminant(text)
	if err != nil {
		return "", err
	}
	return l.Name, nil
}

func parseObserver(text string) (string, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	for _, unit := range []string{"degrees", "degree", "deg"} {
		if rest, ok := strings.CutSuffix(s, unit); ok {
			s = strings.TrimSpace(rest)
			break
		}
	}
	o, err := colour.ParseObserver(s)
	if err != nil {
		return "", err
	}
	return o.String(), nil
}

// conditions reads what the file states once for all its samples.
func (t *sampleTable) conditions() (c conditions, err error) {
	for i, s := range stating {
		said, _ := t.Key(s.key)
		if said.Value == "" {
			continue
		}
		if c[i], err = s.parse(said.Value); err != nil {
			return c, t.KeyFault(said, err.Error(), "")
		}
	}
	if said, _ := t.Key("specular"); said.Value != "" {
		if err := c.gloss(said.Value); err != nil {
			return c, t.KeyFault(said, err.Error(), "")
		}
	}
	return c, nil
}

// override takes a row's own conditions where it has them.
func (t *sampleTable) override(c *conditions, r table.Row) (err error) {
	for i, col := range t.columns {
		if r.Fields[i] == "" {
			continue
		}
		switch col.kind {
		case geometry, light, eye:
			of := col.kind - geometry
			c[of], err = stating[of].parse(r.Fields[i])
		case gloss:
			err = c.gloss(r.Fields[i])
		}
		if err != nil {
			return t.Fault(r, i, err.Error(), "")
		}
	}
	return nil
}

// bracket reads the words in brackets after L*, such as "10°/D65" or "SCI".
func (c *conditions) bracket(text, file string, notes *Notes) error {
words:
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("/,; |", r) }) {
		for _, of := range []int{byObserver, byLight, byGeometry} {
			value, err := stating[of].parse(word)
			if err != nil {
				continue
			}
			if c[of] != "" && c[of] != value {
				return fmt.Errorf("%s says %s in a '#' line but %s in a header; make them agree", file, c[of], value)
			}
			c[of] = value
			continue words
		}
		notes.add("%s: %q in a header was not understood", file, word)
	}
	return nil
}
