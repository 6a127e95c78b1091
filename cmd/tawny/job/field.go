package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"tawny/colour/table"
)

// Field is one thing a request can say. Its row is all there is of it: the
// flag, the help, the completion, the document's key, the page's form and every
// face's checks come from it.
type Field struct {
	Name    string   // as a flag and as a key of the document
	Words   string   // what it is, for the help and the page
	Unit    string   // of a number, for its errors
	Low     float64  // least number accepted
	High    float64  // most accepted; 0 means any
	Above   bool     // Low itself is not accepted
	None    bool     // of a number: 'none', which is 0, takes back what was written
	Choices []string // the words accepted, where there are only these
	Lists   string   // what may stand here, for completion: "skin", "powder" …
	Arg     bool     // a word of the command line in the order of the rows, not a flag
	Rest    bool     // with Arg: every word that is left
	Maybe   bool     // with Arg: it may be left out
	Commas  bool     // of texts: commas stand between several
	Lines   bool     // of a text: it may have several
	Local   bool     // for the command line only: it names a place on the disk
	Hidden  bool     // understood, but not in the help
	Not     rule     // fields it cannot stand beside
	Needs   rule     // and those it cannot stand without
	To      any      // *string, *int, *int64, *float64, *bool, **string, **float64, *[]string or *[]float64
}

// rule is what a field says where it clashes with others, by their names.
type rule = map[string]string

// NamesFile tells whether a field names a file and nothing else.
func (f *Field) NamesFile() bool { return f.Lists == "csv" || f.Lists == "file" }

// Group is the fields of one subject, and the rules across them.
type Group struct {
	Title  string
	Fields []Field
	Check  func(given func(field string) bool) error // nil where each field stands alone
}

// FieldError is a fault of one field, in words that go on from its name.
type FieldError struct {
	Field string
	Says  string
	err   error // instead of Says: what says it all
}

func (e *FieldError) Error() string {
	if e.err != nil {
		return e.err.Error()
	}
	return "{" + e.Field + "} " + e.Says
}

func (e *FieldError) Unwrap() error        { return e.err }
func (e *FieldError) Is(target error) bool { return e.err == nil && target == ErrInput }

// Faults are all that is wrong with a request, to be told at once.
type Faults []error

// Note keeps an error; nil is none.
func (f *Faults) Note(err error) {
	if err != nil {
		*f = append(*f, err)
	}
}

// Err is nil without a fault, and a single one itself.
func (f Faults) Err() error {
	switch len(f) {
	case 0:
		return nil
	case 1:
		return f[0]
	}
	return f
}

func (f Faults) Error() string   { return listed(f, "; ", error.Error) }
func (f Faults) Unwrap() []error { return f }

// FieldOf is the field that an error is about, or first speaks of; "" for none.
func FieldOf(err error) string {
	var of *FieldError
	if errors.As(err, &of) {
		return of.Field
	}
	if m := fieldMark.FindStringSubmatch(err.Error()); m != nil {
		return m[1]
	}
	return ""
}

// of marks a field's words as not understood, in their own words.
func of(field string, err error) error {
	if err == nil || FieldOf(err) != "" {
		return err
	}
	return &FieldError{Field: field, err: err}
}

// faultf is a fault of a field.
func faultf(field, format string, args ...any) error {
	return &FieldError{Field: field, Says: fmt.Sprintf(format, args...)}
}

// Doc is a request being filled, by one face or another.
type Doc struct {
	Job    *Job
	Task   Task
	Fields []*Field // in order
	rows   map[string]*Field
	given  map[string]bool

	warnings []string // of what was done, for its answer
	own      string   // the drawer the face was begun with
}

// NewDoc begins a request.
func NewDoc(j *Job) *Doc { return newDoc(j, j.New()) }

func newDoc(j *Job, t Task) *Doc {
	d := &Doc{Job: j, Task: t, rows: map[string]*Field{}, given: map[string]bool{}}
	for _, g := range d.Task.Groups {
		for i := range g.Fields {
			f := &g.Fields[i]
			d.rows[f.Name] = f
			d.Fields = append(d.Fields, f)
		}
	}
	return d
}

// docOf is the document of a job's groups, whose fields are given where they
// hold anything.
func docOf(name string, groups []Group) *Doc {
	d := newDoc(&Job{Name: name}, Task{Groups: groups})
	for _, f := range d.Fields {
		d.given[f.Name] = !f.value().empty
	}
	return d
}

// Given tells whether a field was said, by whichever face.
func (d *Doc) Given(name string) bool { return d != nil && d.given[name] }

// holds tells whether a field was said, and of a yes or no that it is a yes.
func (d *Doc) holds(name string) bool { return d.given[name] && !d.rows[name].value().empty }

// Field returns the row of a name, or nil.
func (d *Doc) Field(name string) *Field { return d.rows[name] }

// Put says one thing. A list grows by what is put.
func (d *Doc) Put(name, text string) error {
	f := d.rows[name]
	if f == nil && fieldMark.MatchString("{"+name+"}") {
		return faultf(name, "is not understood by %s", d.Job.Name)
	} else if f == nil {
		return inputf("%q is not understood by %s", table.Clip(name), d.Job.Name)
	}
	first := !d.given[name]
	if err := f.put(text, first); err != nil {
		return err
	}
	d.given[name] = true
	return nil
}

func (f *Field) put(text string, first bool) error {
	if len(text) > maxTextBytes {
		return faultf(f.Name, "is %d bytes long; at most %d is accepted", len(text), maxTextBytes)
	}
	if n := utf8.RuneCountInString(text); f.Unit == letters && float64(n) > f.High {
		return faultf(f.Name, "has %d letters; at most %g are accepted", n, f.High)
	}
	lines := []string{text}
	if f.Lines {
		lines = strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	}
	for i := range lines {
		clean, err := table.Clean(lines[i])
		if err != nil {
			return faultf(f.Name, "is not text: %v", err)
		}
		lines[i] = clean
	}
	text = strings.Join(lines, "\n")
	if len(f.Choices) > 0 {
		i := slices.IndexFunc(f.Choices, func(c string) bool { return strings.EqualFold(c, strings.TrimSpace(text)) })
		if i < 0 {
			return faultf(f.Name, "is %q; %s is accepted", text, orList(f.Choices))
		}
		text = f.Choices[i]
	}
	return f.value().put(text, first)
}

// Bounds of what a request may carry.
const (
	letters      = "letters" // the unit of a text that is held to High
	times        = "times"   // the unit of a factor
	maxTextBytes = 16 << 10  // of one value: a spectrum in words is about 300
	maxList      = 500       // values of a list: as many powders as a drawer may hold
)

// range_ says which numbers are accepted.
func (f *Field) range_() string {
	unit := around(" ", f.Unit, "")
	low, high := strconv.FormatFloat(f.Low, 'f', -1, 64), strconv.FormatFloat(f.High, 'f', -1, 64)
	switch {
	case f.Above && f.High != 0:
		return "more than " + low + " and at most " + high + unit
	case f.Above:
		return "more than " + low + unit
	case f.High != 0:
		return low + " to " + high + unit
	}
	return "at least " + low + unit
}

// orList writes choices as "a, b or c".
func orList(list []string) string {
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " or " + list[n-1]
	}
	return strings.Join(list, "")
}

// Version of the request document.
const Version = 2

// MarshalJSON writes the job and what was said of it, in the order of the rows.
func (d *Doc) MarshalJSON() ([]byte, error) {
	out := []byte(fmt.Sprintf(`{"job":%q,"version":%d`, d.Job.Name, Version))
	for _, f := range d.Fields {
		if !d.given[f.Name] {
			continue
		}
		v, err := json.Marshal(f.Value())
		if err != nil {
			return nil, err
		}
		out = append(out, fmt.Sprintf(",%q:", f.Name)...)
		out = append(out, v...)
	}
	return append(out, '}'), nil
}

// Read fills a request from its document, or from that of a result, which holds it.
// What is already given stays.
func (d *Doc) Read(data []byte) error {
	data = requestIn(data)
	var items map[string]json.RawMessage
	if err := json.Unmarshal(data, &items); err != nil {
		return noRequest(data, err)
	}
	var faults Faults
	for _, name := range slices.Sorted(maps.Keys(items)) {
		if name == "job" || name == "version" || d.given[name] {
			continue
		}
		texts, err := texts(items[name])
		if err != nil {
			err = faultf(name, "is %s; a text, a number, true, false or a list of them is accepted", table.Clip(string(items[name])))
		}
		for i := 0; i < len(texts) && err == nil; i++ {
			err = d.Put(name, texts[i])
		}
		faults.Note(err)
	}
	return faults.Err()
}

// noRequest is the error of a text that is no request's document, with the line
// where it ends to be JSON.
func noRequest(data []byte, err error) error {
	line := 1
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		line += bytes.Count(data[:min(int(syntax.Offset), len(data))], []byte("\n"))
	}
	return inputf(`the request is not understood at line %d; a JSON object is accepted, such as {"job": "match", "skin": "tan"}`, line)
}

// requestIn is the request that a result's document holds; another document is it.
func requestIn(data []byte) []byte {
	var result struct {
		Request json.RawMessage `json:"request"`
	}
	var asked struct {
		Job string `json:"job"`
	}
	if json.Unmarshal(data, &result) == nil && json.Unmarshal(result.Request, &asked) == nil && asked.Job != "" {
		return result.Request
	}
	return data
}

// JobOf says which job a document's request is for.
func JobOf(data []byte) (string, error) {
	data = requestIn(data)
	var head struct {
		Job     string `json:"job"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return "", noRequest(data, err)
	}
	if head.Version > Version {
		return "", inputf("the request is of version %d, from a newer tawny; up to %d is accepted", head.Version, Version)
	}
	return head.Job, nil
}

// texts are the values of a document's key as Put takes them.
func texts(raw json.RawMessage) ([]string, error) {
	var list []json.RawMessage
	if json.Unmarshal(raw, &list) != nil {
		list = []json.RawMessage{raw}
	}
	var out []string
	for _, item := range list {
		var v any
		if err := json.Unmarshal(item, &v); err != nil {
			return nil, err
		}
		switch v := v.(type) {
		case string:
			out = append(out, v)
		case bool:
			out = append(out, strconv.FormatBool(v))
		case float64:
			out = append(out, string(item))
		case nil:
		default:
			return nil, fmt.Errorf("a %T", v)
		}
	}
	return out, nil
}
