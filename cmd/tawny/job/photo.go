package job

import (
	"context"
	"fmt"
	"image"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"tawny/colour"
	"tawny/colour/reading"
)

var photoJob = &Job{
	Name:     "photo",
	Args:     "FILE",
	Searches: true,
	Short:    "Measure a colour in a photo that has known patches in it",
	Long: `Finds the colour of an area of a JPEG or PNG, judged by what is known in the
same photo: a grey card, patches of known colour, or a printed strip. One patch
sets the exposure and tint; four or more of different colours also undo the
camera's mixing of colours. A poor photo widens the doubt; one that cannot be read
is refused.

Rectangles are x,y,width,height in pixels of the upright photo, or in per cent
of it: 10%,20%,5%,5%. Known patches are grey-card, white-paper, grey-strip:5,
lab:L,a,b, or a file of name,L,a,b (chart.csv#red for one of them).

Without any mark it says how large the photo is and how to take one.`,
	Example: "  tawny photo testdata/photo/smear-demo.jpg\n" +
		"  tawny photo testdata/photo/smear-demo.jpg --patch grey-card@30%,9%,8%,13% --area 15%,46%,25%,36%\n" +
		"  tawny photo testdata/photo/smear-demo.jpg --strip testdata/photo/strip-demo.csv@60,40,680,100 --area 120,260,200,200",
	New: func() Task {
		in := &PhotoInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return measurePhoto(env, *in) },
			words(fileArg("a photo", &in.File)), Group{Title: "Marks", Fields: in.markFields()})
	},
}

// markFields are what is marked in a photo. Rectangles hold commas, so each is
// given once a mark.
func (in *PhotoInput) markFields() []Field {
	return []Field{
		{Name: "patch", Words: "a known patch: grey-card@x,y,w,h; repeatable", To: &in.Patches},
		{Name: "strip", Words: "known patches in an even row: grey-strip:5@x,y,w,h; repeatable", To: &in.Strips},
		{Name: "area", Words: "the area to measure: x,y,w,h; repeatable, for the mean", To: &in.Areas},
	}
}

// Show writes what was measured.
func (r *PhotoResult) Show(s *Screen) {
	s.line("%s is %d × %d pixels, %s", r.File, r.Width, r.Height, r.Profile)
	if len(r.Areas) == 0 {
		s.notes(r.Notes)
		s.paragraph("To take a photo that can be measured:")
		s.fold("  ", r.Advice...)
		return
	}
	for _, a := range r.Areas {
		s.paragraph("%s%s   %s: %s", s.patch(a.Hex), labText(a.Lab), a.Area, a.Verdict)
		s.fold("    ", a.Why...)
		s.fold("    ", a.Warnings...)
	}
	s.line("")
	a := r.Areas[0]
	s.line("Known patches, by %s", a.Model)
	width := 0
	for _, p := range a.Patches {
		width = max(width, utf8.RuneCountInString(p.Name))
	}
	for _, p := range a.Patches {
		if p.Dropped != "" {
			s.line("    %-*s  known %s   left out: %s", width, p.Name, labColumns(p.Known), p.Dropped)
			continue
		}
		s.line("    %-*s  known %s   found %s   ΔE00 %4.1f", width, p.Name, labColumns(p.Known), labColumns(p.Found), p.DeltaE)
	}
	s.notes(r.Notes)
	if r.Reading == "" {
		return
	}
	s.paragraph("Use it with --skin %s%s", r.Reading, when(r.Repeat > 0, fmt.Sprintf(" --repeat %.1f", max(0.1, r.Repeat))))
	s.fold("", "A photo is one angle with the gloss left out: for bare skin that will do, for shimmer it is one look of many.")
}

// PhotoInput is a photo with what is marked in it. A rectangle is x,y,w,h in
// pixels of the upright photo, or in parts of it with per cent signs.
type PhotoInput struct {
	File    string
	Patches []string // "grey-card@10%,20%,5%,5%", "lab:51,2,-30@…", "chart.csv#red@…"
	Strips  []string // a set of known patches in a row: "grey-strip:5@…", "chart.csv@…"
	Areas   []string // what is to be measured
}

// PhotoResult is what was measured in a photo.
type PhotoResult struct {
	File    string          `json:"file"`
	Width   int             `json:"width"`
	Height  int             `json:"height"`
	Profile string          `json:"profile"`
	Areas   []PhotoAreaView `json:"areas,omitempty"`
	Reading string          `json:"reading,omitempty"` // of all areas together, as --skin takes it
	Repeat  float64         `json:"repeatDeltaE00,omitempty"`
	Notes   []string        `json:"notes,omitempty"`
	Advice  []string        `json:"advice"`

	mean colour.Reading // of all areas
}

// PhotoAreaView is one area of a photo.
type PhotoAreaView struct {
	Area    string        `json:"area"`
	Reading string        `json:"reading,omitempty"` // as --skin takes it; none where it is refused
	Marks   []MarkOnPatch `json:"marks"`             // the known patches' in their order, then the area's
	reading.Result
}

// MarkOnPatch is whether a mark lies on a patch.
type MarkOnPatch struct {
	OK   bool   `json:"ok"`
	Says string `json:"says"`
}

// Fault is that an area cannot be used.
func (r *PhotoResult) Fault() error {
	for _, a := range r.Areas {
		if a.Verdict == reading.Refused {
			return inputf("%s cannot be used at %s: %s", r.File, a.Area, strings.Join(a.Why, "; "))
		}
	}
	return nil
}

// Photo measures areas of a photo, as the field area marks them, against the known
// patches in it; it is an error where there are none, or one of them cannot be used.
func Photo(env *Env, in PhotoInput, area string) (*PhotoResult, error) {
	r, err := measurePhoto(env, in)
	switch {
	case err != nil:
		return nil, err
	case r.Reading == "" && r.Fault() == nil:
		return nil, inputf("nothing is marked in %s; give {patch} or {strip} and {%s}", in.File, area)
	}
	return r, r.Fault()
}

// measurePhoto tells of areas that cannot be used too. Without marks it only says
// how large the photo is and how to take one.
func measurePhoto(env *Env, in PhotoInput) (*PhotoResult, error) {
	data, err := env.read(in.File, reading.MaxPhotoBytes)
	if err != nil {
		return nil, err
	}
	p, err := reading.DecodePhoto(in.File, data)
	if err != nil {
		return nil, input(err)
	}
	r := &PhotoResult{File: in.File, Width: p.Width, Height: p.Height, Profile: p.Profile, Notes: p.Notes, Advice: reading.Advice()}
	if len(in.Patches)+len(in.Strips)+len(in.Areas) == 0 {
		return r, nil
	}
	if len(in.Patches)+len(in.Strips) == 0 {
		return nil, inputf("nothing known is marked in %s; mark a grey card with 'grey-card@x,y,w,h', or patches", in.File)
	}
	if len(in.Areas) == 0 {
		return nil, inputf("no area to measure is marked in %s; mark the skin or swatch with x,y,w,h", in.File)
	}
	patches, err := r.patches(env, p, in)
	if err != nil {
		return nil, err
	}
	c, err := p.Calibrate(patches)
	if err != nil {
		return nil, input(err)
	}
	var list []colour.Reading
	se := 0.0
	for _, text := range in.Areas {
		area, err := p.Area(text)
		if err != nil {
			return nil, input(err)
		}
		m, err := c.Measure(area)
		if err != nil {
			return nil, input(err)
		}
		v := PhotoAreaView{Area: text, Result: m}
		for _, patch := range m.Patches {
			ok, says := patch.Lies()
			v.Marks = append(v.Marks, MarkOnPatch{ok, says})
		}
		ok, says := m.Lies()
		v.Marks = append(v.Marks, MarkOnPatch{ok, says})
		if got, err := m.Reading(); err == nil {
			v.Reading = got.String()
			list = append(list, got)
			se = max(se, m.SE)
		}
		r.Areas = append(r.Areas, v)
	}
	if r.Fault() != nil {
		return r, nil
	}
	mean, err := reading.Average(list)
	if err != nil {
		return nil, input(err)
	}
	r.mean, r.Reading = mean.Reading, mean.Reading.String()
	// The fit's own error is shared by all areas, so more of them do not
	// lessen it.
	r.Repeat = se
	if mean.N > 1 {
		r.Notes = append(r.Notes, fmt.Sprintf("the %d areas lie ΔE00 %.1f from their mean on average", mean.N, mean.DeltaE))
	}
	return r, nil
}

// patches reads what is known and where it is.
func (r *PhotoResult) patches(env *Env, p *reading.Photo, in PhotoInput) (list []reading.Patch, err error) {
	for i, text := range slices.Concat(in.Patches, in.Strips) {
		known, area, err := r.mark(env, p, text)
		switch {
		case err != nil:
			return nil, err
		case i >= len(in.Patches):
			list = append(list, reading.Strip(area, known)...)
		case len(known) != 1:
			return nil, inputf("%q is a set of %d patches; mark them as a strip, or name one as file#name", text, len(known))
		default:
			list = append(list, reading.Patch{Known: known[0], Area: area})
		}
	}
	return list, nil
}

// mark reads "known@rectangle".
func (r *PhotoResult) mark(env *Env, p *reading.Photo, text string) (known []reading.Known, area image.Rectangle, err error) {
	at := strings.LastIndexByte(text, '@')
	if at < 1 {
		return nil, area, inputf("%q is not understood; known@x,y,w,h is accepted, such as grey-card@10%%,20%%,5%%,5%%", text)
	}
	if area, err = p.Area(text[at+1:]); err != nil {
		return nil, area, input(err)
	}
	what, name := text[:at], ""
	if cut := strings.LastIndexByte(what, '#'); cut > 0 {
		what, name = what[:cut], what[cut+1:]
	}
	known, notes, err := env.known(what)
	if err != nil {
		return nil, area, input(err)
	}
	for _, n := range notes {
		if !slices.Contains(r.Notes, n) {
			r.Notes = append(r.Notes, n)
		}
	}
	if name == "" {
		return known, area, nil
	}
	var names []string
	for _, k := range known {
		if strings.EqualFold(k.Name, name) {
			return []reading.Known{k}, area, nil
		}
		names = append(names, k.Name)
	}
	return nil, area, inputf("%s has no patch %q; there are %s", filepath.Base(what), name, strings.Join(names, ", "))
}

// known finds known patches by name, or in a file.
func (e *Env) known(what string) ([]reading.Known, reading.Notes, error) {
	if !e.isFile(what) {
		return reading.FindKnown(what)
	}
	samples, notes, err := e.samples(what)
	if err != nil {
		return nil, nil, err
	}
	known, more, err := reading.KnownFrom(samples)
	return known, append(notes, more...), err
}
