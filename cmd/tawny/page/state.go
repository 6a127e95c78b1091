package page

import (
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/skin"
)

// state is what the maker has chosen, as the address carries it.
type state struct {
	in    job.Input
	parts []string // of a stated blend, "name=percent"
	name  string   // of the blend
	turn  float64  // degrees, of the warm and cool versions
	query string   // as it was written, to bring it back
}

// askError is a fault of one field of a request, in words for the maker.
type askError struct {
	Field string
	Says  string
}

func (e *askError) Error() string { return e.Says }

func ask(field, format string, args ...any) error {
	return &askError{field, fmt.Sprintf(format, args...)}
}

// Limits on what an address may carry: a usual one is under 1 kB, one that
// leaves out most of a large drawer about 10 kB.
const (
	maxStateBytes = 16 << 10
	maxText       = 200
	maxList       = 500 // as many powders as a drawer may hold
)

// stage is the light that looks are compared with, unless they are seen in it.
const stage = "stage"

// written is a colour in numbers; it never names a file. The last group of
// skin: is a target relative to the skin.
var (
	written  = regexp.MustCompile(`^(?:(?:lab|lch):[-+0-9.]{1,12}(?:,[-+0-9.]{1,12}){2}|#[0-9a-fA-F]{6}|#[0-9a-fA-F]{3})(?:/de)?$`)
	relative = regexp.MustCompile(`^skin:[-+0-9.]{1,12}(?:,[-+0-9.]{1,12}){2}$`)
	number   = regexp.MustCompile(`^[0-9.]{1,12}$`)
	kelvin   = regexp.MustCompile(`^[0-9]{4,5}K$`)
)

// parseState reads an address' query. Every text that a job looks up is
// checked here against what is known, so that none can reach the disk.
func parseState(q url.Values) (s state, err error) {
	size := 0
	for k, list := range q {
		size += len(k)
		if len(list) > maxList {
			return s, ask(k, "%s is given %d times; at most %d is accepted", k, len(list), maxList)
		}
		for _, v := range list {
			size += len(v)
			if len(v) > maxText && k != "skin" {
				return s, ask(k, "%s is %d letters long; at most %d is accepted", k, len(v), maxText)
			}
		}
	}
	s.query = q.Encode()
	if size > maxStateBytes {
		return s, ask("", "the request is %d bytes; at most %d is accepted", size, maxStateBytes)
	}
	for _, f := range fields {
		for _, v := range q[f.name] {
			if v = strings.TrimSpace(v); v == "" {
				continue
			}
			if err := f.read(&s, v); err != nil {
				if _, ok := err.(*askError); !ok {
					err = ask(f.name, "%s: %v", f.says, err)
				}
				return s, err
			}
		}
	}
	if s.in.Illuminant == stage && s.in.Second == "" {
		// The shift is to the other of the two lights, not to itself.
		s.in.Second = colour.D65.Illuminant.Name
	}
	if s.in.Containers > 0 || s.in.ML > 0 {
		if s.in.Containers == 0 || s.in.ML == 0 {
			return s, ask("ml", "containers need both how many and how many ml each")
		}
		s.in.Grams = 0
	}
	return s, nil
}

// field reads one key of the address.
type field struct {
	name string
	says string // what the maker calls it
	read func(*state, string) error
}

var fields = []field{
	{"skin", "skin", readSkin},
	{"target", "shade wanted", readTarget},
	{"load", "load", func(s *state, v string) (err error) {
		s.in.Load, err = positive(v, film.MaxLoad, "% w/w")
		return err
	}},
	{"atmost", "load", func(s *state, v string) error {
		// After load in this list: the same slider, read as a ceiling.
		if v == "1" {
			s.in.LoadMax, s.in.Load = s.in.Load, 0
			if s.in.LoadMax == 0 {
				s.in.LoadMax = job.DefaultLoad
			}
		}
		return nil
	}},
	{"apply", "how thickly worn", func(s *state, v string) error {
		for _, c := range film.Coverages {
			if v == c.Name {
				s.in.Apply = v
				return nil
			}
		}
		if _, err := positive(v, film.MaxApply, "mg/cm²"); err != nil {
			return err
		}
		s.in.Apply = v
		return nil
	}},
	{"most", "powders in a blend", func(s *state, v string) (err error) {
		s.in.Most, err = count(v, search.MostPowders)
		return err
	}},
	{"without", "powders left out", func(s *state, v string) error {
		s.in.Without = append(s.in.Without, v)
		return nil
	}},
	{"must", "powders to use", func(s *state, v string) error {
		s.in.Must = append(s.in.Must, v)
		return nil
	}},
	{"area", "where it is worn", func(s *state, v string) error {
		switch palette.Area(v) {
		case palette.Body, palette.Eyes, palette.Lips:
			s.in.Area = v
			return nil
		}
		return fmt.Errorf("%q; body, eyes or lips is accepted", v)
	}},
	{"base", "base", readBase},
	{"grams", "batch", func(s *state, v string) (err error) {
		s.in.Grams, err = positive(v, 100000, "g")
		return err
	}},
	{"containers", "containers", func(s *state, v string) (err error) {
		s.in.Containers, err = count(v, 10000)
		return err
	}},
	{"ml", "content of a container", func(s *state, v string) (err error) {
		s.in.ML, err = positive(v, 10000, "ml")
		return err
	}},
	{"balance", "balance", func(s *state, v string) (err error) {
		s.in.Balance, err = positive(v, 100, "g")
		return err
	}},
	{"light", "light", func(s *state, v string) (err error) {
		s.in.Illuminant, err = light(v)
		return err
	}},
	{"second", "second light", func(s *state, v string) (err error) {
		s.in.Second, err = light(v)
		return err
	}},
	{"both", "both lights", func(s *state, v string) error { s.in.BothLights = v == "1"; return nil }},
	{"stock", "stock", func(s *state, v string) error { s.in.InStock = v == "1"; return nil }},
	{"turn", "warm and cool", func(s *state, v string) (err error) {
		s.turn, err = positive(v, 90, "degrees")
		return err
	}},
	{"part", "powders of the blend", func(s *state, v string) error { s.parts = append(s.parts, v); return nil }},
	{"name", "name", func(s *state, v string) error { s.name = v; return nil }},
}

func readSkin(s *state, v string) error {
	if rest, ok := strings.CutPrefix(v, bandsPrefix); ok {
		r, err := parseBands(rest)
		if err != nil {
			return err
		}
		s.in = s.in.WithSkin(r)
		s.in.Skin = "a reading with its spectrum"
		return nil
	}
	if written.MatchString(v) {
		s.in.Skin = v
		return nil
	}
	k, err := skin.Find(v)
	if err != nil {
		return fmt.Errorf("%q is not understood; a preset, lab:L,a,b, lch:L,C,h or #rrggbb is accepted", v)
	}
	s.in.Skin = k.Name
	return nil
}

func readTarget(s *state, v string) error {
	if !written.MatchString(v) && !relative.MatchString(v) {
		return fmt.Errorf("%q is not understood; skin:dL,dC,dh (such as skin:3,5,8), lab:L,a,b, lch:L,C,h or #rrggbb is accepted", v)
	}
	s.in.Target = v
	return nil
}

func readBase(s *state, v string) error {
	bases, err := batch.Builtin()
	if err != nil {
		return err
	}
	for _, b := range bases {
		if strings.EqualFold(b.Name, v) {
			s.in.Base = b.Name
			return nil
		}
	}
	return fmt.Errorf("%q is not one of the bases", v)
}

func light(v string) (string, error) {
	for _, l := range colour.Illuminants() {
		if strings.EqualFold(l.Name, v) {
			return l.Name, nil
		}
	}
	if kelvin.MatchString(v) {
		_, err := colour.FindIlluminant(v)
		return v, err
	}
	return "", fmt.Errorf("%q is not one of the lights", v)
}

func positive(v string, most float64, unit string) (float64, error) {
	x, err := strconv.ParseFloat(v, 64)
	if err != nil || !number.MatchString(v) || !(x > 0 && x <= most) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q; more than 0 and at most %g %s is accepted", v, most, unit)
	}
	return x, nil
}

func count(v string, most int) (int, error) {
	n, err := strconv.Atoi(v)
	if err != nil || n < 1 || n > most {
		return 0, fmt.Errorf("%q; a whole number from 1 to %d is accepted", v, most)
	}
	return n, nil
}
