package book

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"tawny/colour"
	csv "tawny/colour/table"
)

// Sizes a single value may have. Our own choice: far above what a maker
// writes, low enough that a bad import cannot fill the memory.
const (
	maxTextBytes     = 20_000
	maxDocumentBytes = 8 << 20
	MaxPhotoBytes    = 12 << 20
	maxPhotoPixels   = 60_000_000 // as for photos that a colour is read from
	maxGrams         = 1e6        // no hand-made batch weighs a tonne
	maxID            = 1 << 53    // as far as every program that reads JSON counts in ones
)

// kind is what a column holds. Each kind has one form in SQLite, one in CSV
// and one in JSON.
type kind int

const (
	integer kind = iota
	number
	text
	day         // RFC 3339 full-date
	stamp       // RFC 3339 time, UTC, whole seconds
	document    // a JSON object
	reflectance // a JSON array of 36 numbers
	picture     // bytes
)

// column is one field of a record and the values it takes.
type column struct {
	name     string
	kind     kind
	field    int      // of the record's type
	part     int      // of a colour: L*, a* or b*
	null     bool     // may be left unknown
	required bool     // text that may not be empty
	low, top float64  // bounds of a number, both included
	words    []string // the only texts it takes, where given
	ref      string   // the table whose id it holds
	personal bool     // emptied when the client it tells of leaves
}

// kinds are those of a field's type.
var kinds = map[reflect.Type]kind{
	reflect.TypeFor[int64](): integer, reflect.TypeFor[*int64](): integer,
	reflect.TypeFor[float64](): number, reflect.TypeFor[*float64](): number,
	reflect.TypeFor[colour.Lab](): number, reflect.TypeFor[*colour.Lab](): number,
	reflect.TypeFor[string](): text, reflect.TypeFor[time.Time](): stamp,
	reflect.TypeFor[json.RawMessage](): document, reflect.TypeFor[*colour.Spectrum](): reflectance,
	reflect.TypeFor[[]byte](): picture,
}

// columnsOf are the columns of a type of record, a colour three of them. Each has its
// field's name in JSON. What it takes is told by the field's type, a pointer and a
// document being what may be left unknown, and by its tag "book":
//
//	from 0 to 100  bounds of a number
//	of client      the id of a record in that table
//	day            text that is a day
//	in skin|jar    the only texts it takes
//	required       text that may not be empty
//	null           may be left unknown
//	personal       emptied when the client it tells of leaves
func columnsOf(of reflect.Type) (list []column) {
	for i := range of.NumField() {
		f := of.Field(i)
		kind, ok := kinds[f.Type]
		if !ok {
			continue // its parts
		}
		c := column{kind: kind, field: i, null: kind == document || f.Type.Kind() == reflect.Pointer}
		if c.name, _, _ = strings.Cut(f.Tag.Get("json"), ","); c.name == "id" {
			c.low, c.top = 1, maxID
		}
		for setting := range strings.SplitSeq(f.Tag.Get("book"), ",") {
			switch what, value, _ := strings.Cut(setting, " "); what {
			case "from":
				fmt.Sscanf(value, "%g to %g", &c.low, &c.top)
			case "of":
				c.ref, c.low, c.top = value, 1, maxID
			case "day":
				c.kind = day
			case "in":
				c.words = strings.Split(value, "|")
			case "required":
				c.required = true
			case "null":
				c.null = true
			case "personal":
				c.personal = true
			case "":
			default:
				panic(f.Name + ": " + setting)
			}
		}
		if f.Type == reflect.TypeFor[colour.Lab]() || f.Type == reflect.TypeFor[*colour.Lab]() {
			list = append(list, c.ofColour()...)
		} else {
			list = append(list, c)
		}
	}
	return list
}

// ofColour is the three columns of a colour. The bounds only keep out slips of the
// keyboard: L* passes 100 on a lit flake, and no surface colour comes near
// |a*| or |b*| = 300.
func (c column) ofColour() []column {
	l, a, b := c, c, c
	l.name, l.low, l.top = c.name+"_l", -1, 1000
	a.name, a.part, a.low, a.top = c.name+"_a", 1, -300, 300
	b.name, b.part, b.low, b.top = c.name+"_b", 2, -300, 300
	return []column{l, a, b}
}

// parse reads a value that is written without quotes.
func (c *column) parse(s string) (v any, err error) {
	switch c.kind {
	case integer:
		v, err = strconv.ParseInt(s, 10, 64)
	case number:
		v, err = strconv.ParseFloat(s, 64)
	default:
		v = s
	}
	if err != nil {
		return nil, c.wrong(s)
	}
	return v, nil
}

// wrong is the error of a value that the column does not take.
func (c *column) wrong(s string) error {
	return fmt.Errorf("%s will not do; give %s", quoted(s), c.wants())
}

// check returns v as the book stores it, or says what is wrong with it. v is
// nil, int64, float64, string or []byte.
func (c *column) check(v any) (any, error) {
	if v == nil {
		if !c.null {
			return nil, fmt.Errorf("missing; give %s", c.wants())
		}
		return nil, nil
	}
	switch c.kind {
	case integer:
		n, ok := v.(int64)
		if !ok || float64(n) < c.low || float64(n) > c.top {
			return nil, fmt.Errorf("%v will not do; give %s", v, c.wants())
		}
		return n, nil
	case number:
		x, ok := v.(float64)
		if !ok || !(x >= c.low && x <= c.top) { // NaN fails both
			return nil, fmt.Errorf("%v will not do; give %s", v, c.wants())
		}
		return x + 0, nil // −0 becomes 0
	case picture:
		p, ok := v.([]byte)
		if !ok || len(p) == 0 || len(p) > MaxPhotoBytes {
			return nil, fmt.Errorf("give %s", c.wants())
		}
		return p, nil
	}
	s, ok := v.(string)
	if !ok {
		return nil, fmt.Errorf("give %s", c.wants())
	}
	switch c.kind {
	case day:
		if t, err := time.Parse(time.DateOnly, s); err != nil || t.Year() < 1 {
			return nil, fmt.Errorf("%s is not a day; give %s", quoted(s), c.wants())
		}
		return s, nil
	case stamp:
		t, err := time.Parse(time.RFC3339, s)
		if err != nil || t.UTC().Year() < 1 || t.UTC().Year() > 9999 {
			return nil, fmt.Errorf("%s is not a time; give %s", quoted(s), c.wants())
		}
		return t.UTC().Format(time.RFC3339), nil
	case document, reflectance:
		return c.checkJSON(s)
	}
	return c.checkText(s)
}

func (c *column) checkText(s string) (any, error) {
	if len(s) > maxTextBytes {
		return nil, fmt.Errorf("%d bytes long; at most %d fit", len(s), maxTextBytes)
	}
	if !utf8.ValidString(s) {
		return nil, fmt.Errorf("not UTF-8 text; save the file as UTF-8")
	}
	// One kind of line end, since CSV does not keep the others apart.
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	s = norm.NFC.String(s) // one form of each letter, however it was composed
	for _, r := range s {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return nil, fmt.Errorf("holds the control character %U; leave it out", r)
		}
	}
	if c.required && strings.TrimSpace(s) == "" {
		return nil, fmt.Errorf("empty; give %s", c.wants())
	}
	if c.words != nil {
		for _, w := range c.words {
			if s == w {
				return s, nil
			}
		}
		return nil, c.wrong(s)
	}
	return s, nil
}

// gate is the gate of new text, beside check: what was written before there was one
// stays as it is. Only notes are of several lines.
func (c *column) gate(v any) error {
	s, ok := v.(string)
	if !ok || c.kind != text || c.words != nil {
		return nil
	}
	if _, err := csv.Clean(strings.ReplaceAll(s, "\ufffd", "")); err != nil { // the mark of what could not be shown is text
		return err
	}
	if c.name != "note" && c.name != "why" && strings.ContainsAny(s, "\n\t") {
		return errors.New("is of several lines; one is accepted")
	}
	return nil
}

// gate is every column's.
func (t *table) gate(row []any, where string) error {
	for i := range t.columns {
		if err := t.columns[i].gate(row[i]); err != nil {
			return &FieldError{where, t.columns[i].name, err.Error()}
		}
	}
	return nil
}

func (c *column) checkJSON(s string) (any, error) {
	if len(s) > maxDocumentBytes {
		return nil, fmt.Errorf("%d bytes long; at most %d fit", len(s), maxDocumentBytes)
	}
	if !utf8.ValidString(s) {
		return nil, fmt.Errorf("not UTF-8 text")
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, []byte(s)); err != nil {
		return nil, fmt.Errorf("not JSON (%v); give %s", err, c.wants())
	}
	s = compact.String()
	if c.kind == document {
		if !strings.HasPrefix(s, "{") {
			return nil, fmt.Errorf("JSON, but not an object; give %s", c.wants())
		}
		return s, nil
	}
	var values []*float64
	if err := json.Unmarshal([]byte(s), &values); err != nil || len(values) != colour.Bands {
		return nil, fmt.Errorf("give %s", c.wants())
	}
	for _, x := range values {
		if x == nil || !(*x >= -0.1 && *x <= 10) { // noise below black; a flake's glance above white
			return nil, fmt.Errorf("give %s, each a factor (1 is perfect white)", c.wants())
		}
	}
	return s, nil
}

// wants says what the column takes.
func (c *column) wants() string {
	switch c.kind {
	case integer, number:
		what := "a number"
		if c.kind == integer {
			what = "a whole number"
		}
		if c.ref != "" {
			return "the id of a " + c.ref
		}
		switch {
		case c.top < 1e9:
			return fmt.Sprintf("%s from %s to %s", what, plain(c.low), plain(c.top))
		default:
			return fmt.Sprintf("%s of %s or more", what, plain(c.low))
		}
	case day:
		return "a day like 2026-05-31"
	case stamp:
		return "a time like 2026-05-31T14:05:00Z"
	case document:
		return "a JSON object"
	case reflectance:
		return fmt.Sprintf("a JSON list of %d numbers, 380 to 730 nm by 10", colour.Bands)
	case picture:
		return fmt.Sprintf("a JPEG or PNG of at most %d MiB", MaxPhotoBytes>>20)
	}
	if c.words != nil {
		shown := make([]string, len(c.words))
		for i, w := range c.words {
			if shown[i] = w; w == "" {
				shown[i] = "nothing"
			}
		}
		return "one of: " + strings.Join(shown, ", ")
	}
	return "some text"
}

// plain is a number without an exponent.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// quoted is s for a message, cut where it is long.
func quoted(s string) string {
	if len(s) > 60 {
		s = strings.ToValidUTF8(s[:60], "") + "…"
	}
	return fmt.Sprintf("%q", s)
}
