package job

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"tawny/blend/book"
)

// Job is something tawny does, declared once: both faces, the command line and
// the page, are made from it.
type Job struct {
	Name     string // as the command line has it: "match", "book save"
	Args     string // its words, as the usage writes them: "FILE"
	Short    string // what it does, in a line
	Long     string
	Example  string
	Local    string // why it is for the command line only, or ""
	Searches bool   // it searches, or is as long: a face that does several things at once lets it wait its turn
	Follows  bool   // for the page only: it follows what is being moved there
	New      func() Task
}

// Task is a request: what is asked, in groups of fields that point to where it is kept,
// and how it is answered.
type Task struct {
	Groups []Group
	// Run answers the request. It reads only through env and writes nothing but
	// the book.
	Run func(ctx context.Context, env *Env) (Result, error)
}

// Result is a result document: its JSON is the answer, Show the same for a
// person at a terminal.
type Result interface {
	Show(s *Screen)
}

// Env is what a face lends a job.
type Env struct {
	Files    fs.FS            // where files a request names are read; nil has none
	Now      func() time.Time // the clock
	Progress func(float64)    // told the share done, or nil
	Book     Book             // where the book is
	Drawers  *Drawers         // kept drawers, or nil
	Workers  int              // of a search; 0 is all processors
	Sends    bool             // the files a job can make are wanted
	Out      string           // the folder they go into, where the face writes them
	JSON     bool             // the answer goes out as its document

	Delivered []File // the files made

	doc     *Doc
	stopped <-chan struct{} // closed when the job is
	of      book.File       // the client of the book whose skin they show, and the batch they are of
	noted   bool            // the book has the files
}

// File is one a job made, to be written by its face, or sent.
type File struct {
	Name string
	Data []byte
}

// deliver hands a file to the face.
func (e *Env) deliver(name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	e.Delivered = append(e.Delivered, File{name, b.Bytes()})
	return nil
}

// unlessStopped waits for work that does not look up itself, such as drawing; what it
// makes after the job is stopped is nobody's.
func (e *Env) unlessStopped(work func()) error {
	done := make(chan any)
	go func() {
		defer func() {
			select {
			case done <- recover():
			case <-e.stopped:
			}
		}()
		work()
	}()
	select {
	case fault := <-done:
		if fault != nil {
			panic(fault)
		}
		return nil
	case <-e.stopped:
		return context.Canceled
	}
}

// warn tells of what went wrong beside a job that is done, on the face's own way
// and in the answer.
func (e *Env) warn(text string) {
	if slices.Contains(e.doc.warnings, text) {
		return
	}
	e.doc.warnings = append(e.doc.warnings, text)
	if e.Book.Warn != nil {
		e.Book.Warn(errors.New(text))
	}
}

// today is the date as cards, sheets and the book have it, by the face's clock.
func (e *Env) today() string {
	if e.Now == nil {
		return time.Now().Format(time.DateOnly)
	}
	return e.Now().Format(time.DateOnly)
}

// given tells whether a field of the request was said.
func (e *Env) given(name string) bool { return e.doc.Given(name) }

// asking is a task made of its groups and what is done with them.
func asking(run func(ctx context.Context, env *Env) (Result, error), groups ...Group) Task {
	return Task{groups, run}
}

// asking is a task whose request is the input: what is done gets a copy, ready.
func (in *Input) asking(run func(ctx context.Context, env *Env, q Input) (Result, error), groups ...Group) Task {
	return asking(func(ctx context.Context, env *Env) (Result, error) {
		q, err := in.ready(env)
		if err != nil {
			return nil, err
		}
		return run(ctx, env, q)
	}, groups...)
}

// Do runs a filled request, once its groups hold together.
func (d *Doc) Do(ctx context.Context, env *Env) (Result, error) {
	var faults Faults
	for _, f := range d.Fields {
		if f.Arg && !f.Maybe && !d.given[f.Name] {
			faults.Note(faultf(f.Name, "is missing; %s", f.Words))
		}
		for other, says := range f.Not {
			if d.holds(f.Name) && d.holds(other) {
				faults.Note(faultf(f.Name, "%s", says))
			}
		}
		for _, other := range slices.Sorted(maps.Keys(f.Needs)) {
			if d.holds(f.Name) && !d.holds(other) {
				faults.Note(faultf(f.Name, "%s", f.Needs[other]))
				break // one at a time
			}
		}
	}
	for _, g := range d.Task.Groups {
		if g.Check != nil {
			faults.Note(g.Check(d.Given))
		}
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	env.doc, env.stopped = d, ctx.Done()
	d.own = env.own()
	return d.Task.Run(ctx, env)
}

// Drawer says where the powders are from where none was named: from the built-in
// drawer, which is nobody's; "" where that was meant or there is nothing to say. A
// batch of the book has its own.
func (d *Doc) Drawer() string {
	if d.Field("demo") == nil || d.Field("drawer") == nil || d.own != "" || d.given["demo"] || d.given["no-powder"] || d.given["drawer"] || d.given["batch"] {
		return ""
	}
	return "from the built-in demo drawer; --drawer drawer.csv takes your own"
}

// Answer is a result's document with the request that asked for it.
func Answer(d *Doc, r Result) ([]byte, error) {
	body, err := json.MarshalIndent(r, "", "  ")
	if err != nil || len(body) < 2 || body[0] != '{' {
		return body, err
	}
	head, err := json.MarshalIndent(struct {
		Request  *Doc     `json:"request"`
		Drawer   string   `json:"drawer,omitempty"`
		Warnings []string `json:"warnings,omitempty"`
	}{d, d.Drawer(), d.warnings}, "", "  ")
	if err != nil || string(body) == "{}" {
		return head, err
	}
	head = bytes.TrimSuffix(head, []byte("\n}"))
	return append(append(head, ','), body[1:]...), nil
}

// ErrInput marks an error as a fault of what was asked, not of the program.
var ErrInput = errors.New("input")

type inputError struct{ error }

func (e inputError) Is(target error) bool { return target == ErrInput }
func (e inputError) Unwrap() error        { return e.error }

// input marks err as the asker's.
func input(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

func inputf(format string, args ...any) error { return input(fmt.Errorf(format, args...)) }

// searched marks what a search could not do as the asker's fault, unless it was
// stopped.
func searched(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return input(err)
}

var fieldMark = regexp.MustCompile(`\{([a-zA-Z][a-zA-Z-]*)\}`)

// Say writes an error for a face: name says how the face calls a field.
func Say(err error, name func(field string) string) string {
	return fieldMark.ReplaceAllStringFunc(err.Error(), func(mark string) string {
		return name(strings.Trim(mark, "{}"))
	})
}
