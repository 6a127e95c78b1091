package job

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"tawny/colour"
	"tawny/colour/reading"
	"tawny/colour/skin"
	"tawny/colour/table"
)

var readJob = &Job{
	Name:  "read",
	Args:  "FILE",
	Short: "List the readings in an instrument's file",
	Long: `Reads a CSV with one sample a row (columns name and 400, R400, 400nm …, or L,
a, b), a CSV with one wavelength a row, or the open text format of ISO 28178
(CGATS), and lists every sample. Samples of one name are repeats of one place:
their mean is shown, and how far they lie apart.

Any sample can be used where a colour is asked for, as file#name or file#3;
file#* is the mean of all. Repeats are averaged, and how well they agree goes
into the prediction's uncertainty.`,
	Example: "  tawny read testdata/fit/skin-demo.csv\n  tawny match --skin 'testdata/fit/skin-demo.csv#forearm' --target skin:2,3,5",
	New: func() Task {
		var file string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return Read(env, file) }, words(fileArg("a file", &file)))
	},
}

// Show lists the samples.
func (r *ReadResult) Show(s *Screen) {
	for i, v := range r.Samples {
		s.line("%3d %s%-20s %s   %s, %s%s%s", i+1, s.patch(v.Hex), v.Name, labText(v.Lab), v.Light, v.Geometry.Words(), when(v.Reflectance != nil, "; spectrum"), others(v.Other))
	}
	for _, m := range r.Means {
		s.paragraph("%s: mean of %d  %s", m.Name, m.N, labText(m.Lab))
		s.line("    the readings lie ΔE00 %.2f from it on average, %.2f at most", m.DeltaE, m.FurthestDeltaE)
	}
	s.notes(r.Notes)
	s.paragraph("Use one as a colour with '%s#%s'", r.File, r.Samples[0].Name)
}

// others lists the columns that say nothing of the colour.
func others(m map[string]string) string {
	return around("; ", listed(slices.Sorted(maps.Keys(m)), ", ", func(k string) string { return k + " " + m[k] }), "")
}

// notes says what was taken for granted, one paragraph each.
func (s *Screen) notes(list []string) {
	for _, n := range list {
		s.line("")
		s.fold("", "Note: "+strings.TrimSuffix(n, ".")+".")
	}
}

// ReadResult lists what an instrument file holds.
type ReadResult struct {
	File    string       `json:"file"`
	Samples []SampleView `json:"samples"`
	Means   []MeanView   `json:"means,omitempty"` // of samples that share a name
	Notes   []string     `json:"notes,omitempty"` // what was taken for granted

	Wavelengths []float64 `json:"wavelengths,omitempty"` // of the reflectances, nm
}

// SampleView is one reading of a file.
type SampleView struct {
	Name    string `json:"name"`
	Line    int    `json:"line"`
	Reading string `json:"reading,omitempty"` // as --skin takes it; none of L*a*b* under another light than D65
	ColourView
	Light       string            `json:"light"`    // of lab
	Geometry    colour.Geometry   `json:"geometry"` // di, de, 45 or photo; "" where the file does not say
	Reflectance []float64         `json:"reflectance,omitempty"`
	Other       map[string]string `json:"other,omitempty"` // columns that say nothing of the colour
}

// MeanView is the mean of several readings of one place.
type MeanView struct {
	Name string     `json:"name"`
	Lab  colour.Lab `json:"lab"`
	reading.Mean
}

// Read lists the samples of an instrument file.
func Read(env *Env, file string) (*ReadResult, error) {
	samples, notes, err := env.samples(file)
	if err != nil {
		return nil, err
	}
	r := &ReadResult{File: file, Notes: notes}
	byName := map[string][]colour.Reading{}
	var names []string
	for _, s := range samples {
		v := SampleView{Name: s.Name, Line: s.Line, ColourView: colourView(s.Viewing, s.Lab), Light: s.Viewing.Name(), Geometry: s.Geometry, Other: s.Other}
		switch {
		case s.Spectrum != nil:
			v.Reading = formatBands(s.Reading)
			v.Reflectance = s.Spectrum[:]
			r.Wavelengths = colour.Wavelengths()
		case s.Viewing == nil || s.Viewing == colour.D65:
			v.Reading = s.Reading.String()
		}
		r.Samples = append(r.Samples, v)
		if byName[s.Name] == nil {
			names = append(names, s.Name)
		}
		byName[s.Name] = append(byName[s.Name], s.Reading)
	}
	for _, n := range names {
		if len(byName[n]) < 2 {
			continue
		}
		m, err := reading.Average(byName[n])
		if err != nil {
			r.Notes = append(r.Notes, fmt.Sprintf("%s has several readings that cannot be averaged: %v", n, err))
			continue
		}
		r.Means = append(r.Means, MeanView{n, m.Lab, m})
	}
	return r, nil
}

// ColourRead is a colour as a maker named it, with its repeatability where the
// file held more than one reading of it.
type ColourRead struct {
	colour.Reading
	SE *colour.Lab // standard error of L*, a*, b* from repeats, or nil
}

// ReadColour reads a colour: anything [colour.ParseReading] does; a reflectance
// file; an instrument file of one sample; or file#sample, a sample's name or number. Samples that
// share the name are averaged, file#* averages all, and so are colours joined
// by semicolons.
func (e *Env) ReadColour(text string) (ColourRead, error) {
	if rest, ok := strings.CutPrefix(strings.TrimSpace(text), bandsPrefix); ok {
		r, err := parseBands(rest)
		return ColourRead{Reading: r}, input(err)
	}
	if e.isFile(text) {
		c, err := e.pickSample(text, "")
		c.Text = text
		return c, err
	}
	if strings.Contains(text, ";") {
		return e.readRepeats(text)
	}
	if at := strings.LastIndexByte(text, '#'); at > 0 {
		return e.pickSample(text[:at], text[at+1:])
	}
	if lower := strings.ToLower(text); strings.HasSuffix(lower, ".csv") || strings.HasSuffix(lower, ".txt") || e.isFolder(text) {
		_, err := e.read(text, table.MaxBytes)
		return ColourRead{}, err
	}
	r, err := colour.ParseReading(text)
	return ColourRead{Reading: r}, input(err)
}

// readRepeats averages colours joined by semicolons: repeats of one place.
func (e *Env) readRepeats(text string) (ColourRead, error) {
	var list []colour.Reading
	for _, part := range strings.Split(text, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		c, err := e.ReadColour(part)
		if err != nil {
			return ColourRead{}, err
		}
		list = append(list, c.Reading)
	}
	if len(list) == 0 {
		return ColourRead{}, inputf("%q holds no colour; lab:L,a,b or others, joined by ; are accepted", text)
	}
	return meanOf(list, strings.TrimSpace(text), nil)
}

// meanOf averages repeats under one name.
func meanOf(list []colour.Reading, name string, notes []string) (ColourRead, error) {
	m, err := reading.Average(list)
	if err != nil {
		return ColourRead{}, inputf("%s: %w", name, err)
	}
	c := ColourRead{Reading: m.Reading}
	c.Text = name
	if m.N > 1 {
		se := m.SE()
		c.SE = &se
		notes = append(notes, fmt.Sprintf("mean of %d readings, which lie ΔE00 %.2f from it on average", m.N, m.DeltaE))
	}
	for _, i := range skin.HalfAsBright(list) {
		notes = append(notes, fmt.Sprintf("doubtful: reading %d of %d is hardly over half as bright as the others; it is in the mean, but worth taking again", i+1, len(list)))
	}
	if c.Note != "" {
		notes = append([]string{c.Note}, notes...)
	}
	c.Note = strings.Join(notes, "; ")
	return c, nil
}

func (e *Env) pickSample(file, want string) (ColourRead, error) {
	samples, notes, err := e.samples(file)
	if err != nil {
		return ColourRead{}, err
	}
	want = strings.TrimSpace(want)
	var found []colour.Reading
	name := want
	for _, s := range samples {
		if want == "*" || strings.EqualFold(s.Name, want) || want == "" && s.Name == samples[0].Name {
			found = append(found, s.Reading)
			name = s.Name
		}
	}
	if n, err := strconv.Atoi(want); err == nil && len(found) == 0 && n >= 1 && n <= len(samples) {
		found, name = []colour.Reading{samples[n-1].Reading}, samples[n-1].Name
	}
	if want == "" && len(found) < len(samples) {
		return ColourRead{}, inputf("%s holds %d samples; name one as %s#%s (there are %s), or %s#* for their mean", file, len(samples), file, samples[0].Name, reading.Names(samples), file)
	}
	if len(found) == 0 {
		return ColourRead{}, inputf("%s has no sample %q; there are %s", file, want, reading.Names(samples))
	}
	return meanOf(found, file+"#"+orElse(want, name), notes)
}

// openSkin reads a skin: a preset's name or a colour. se is the standard error
// of its L*, a*, b* where it is the mean of repeats.
func (e *Env) openSkin(text string) (k skin.Skin, se *colour.Lab, err error) {
	if k, err := skin.Find(text); err == nil {
		return k, nil, nil
	}
	c, err := e.ReadColour(text)
	if err != nil {
		// A bare word is more likely a preset misspelt; say which is near.
		if colour.InWords(text) {
			_, err = skin.Parse(text)
			err = fmt.Errorf("%w, or client:NAME for one of the book's", err)
		}
		return k, nil, input(err)
	}
	k, err = skin.FromReading(c.Reading)
	return k, c.SE, input(err)
}
