package reading

import (
	"fmt"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// conditions are how readings were taken. Empty means not stated.
type conditions struct {
	specular   string // "included" or "excluded"
	illuminant string // a name colour.FindIlluminant knows
	observer   string // "2" or "10"
}

func (c conditions) stated() bool { return c.illuminant != "" || c.observer != "" }

// viewings makes each pair of light and observer once.
type viewings map[string]*colour.Viewing

// get returns the viewing of c; its names have been checked.
func (v viewings) get(c conditions, fallback string) *colour.Viewing {
	if c.illuminant == "" {
		c.illuminant = fallback
	}
	if c.observer == "" {
		c.observer = "2"
	}
	key := c.illuminant + "/" + c.observer
	if key == "D65/2" {
		return colour.D65
	}
	if v[key] == nil {
		l, _ := colour.FindIlluminant(c.illuminant)
		o, _ := colour.ParseObserver(c.observer)
		v[key] = colour.NewViewing(l, o)
	}
	return v[key]
}

// parseSpecular understands the words and geometries in use: SCI and SCE, and
// the CIE's names, where 45:0 never sees gloss and 8:di and 8:de are spheres.
func parseSpecular(text string) (string, error) {
	switch s := strings.ToLower(strings.NewReplacer(" ", "", "°", "", "/", ":", ",", "").Replace(text)); s {
	case "included", "sci", "spin", "d:8", "di:8", "8:d", "8:di", "d:0":
		return "included", nil
	case "excluded", "sce", "spex", "45:0", "0:45", "45a:0", "0:45a", "45c:0", "0:45c", "de:8", "8:de":
		return "excluded", nil
	}
	return "", fmt.Errorf("gloss %q is not known; included or excluded is accepted", text)
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
	for _, k := range []struct {
		key   string
		to    *string
		parse func(string) (string, error)
	}{
		{"specular", &c.specular, parseSpecular},
		{"illuminant", &c.illuminant, parseIlluminant},
		{"observer", &c.observer, parseObserver},
	} {
		said, _ := t.Key(k.key)
		if said.Value == "" {
			continue
		}
		if *k.to, err = k.parse(said.Value); err != nil {
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
		case gloss:
			c.specular, err = parseSpecular(r.Fields[i])
		case light:
			c.illuminant, err = parseIlluminant(r.Fields[i])
		case eye:
			c.observer, err = parseObserver(r.Fields[i])
		}
		if err != nil {
			return t.Fault(r, i, err.Error(), "")
		}
	}
	return nil
}

// bracket reads the words in brackets after L*, such as "10°/D65" or "SCI".
func (c *conditions) bracket(text, file string, notes *Notes) error {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("/,; |", r) }) {
		var to *string
		var value string
		if v, err := parseObserver(word); err == nil {
			to, value = &c.observer, v
		} else if v, err := parseIlluminant(word); err == nil {
			to, value = &c.illuminant, v
		} else if v, err := parseSpecular(word); err == nil {
			to, value = &c.specular, v
		} else {
			notes.add("%s: %q in a header was not understood", file, word)
			continue
		}
		if *to != "" && *to != value {
			return fmt.Errorf("%s says %s in a '#' line but %s in a header; make them agree", file, *to, value)
		}
		*to = value
	}
	return nil
}
