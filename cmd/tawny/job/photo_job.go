package job

import (
	"context"
	"fmt"
	"unicode/utf8"
)

var photoJob = &Job{
	Name:  "photo",
	Args:  "FILE",
	Short: "Measure a colour in a photo that has known patches in it",
	Long: `Finds the colour of an area of a JPEG or PNG, judged by what is known in the
same photo: a grey card, patches of known colour, or a printed strip. One patch
sets the exposure and tint; four or more of different colours also undo the
camera's mixing of colours. A photo that cannot be trusted is refused.

Rectangles are x,y,width,height in pixels of the upright photo, or in per cent
of it: 10%,20%,5%,5%. Known patches are grey-card, white-paper, grey-strip:5,
lab:L,a,b, or a file of name,L,a,b (chart.csv#red for one of them).

Without any mark it says how large the photo is and how to take one.`,
	Example: "  tawny photo testdata/photo/smear-demo.jpg\n" +
		"  tawny photo testdata/photo/smear-demo.jpg --patch grey-card@30%,9%,8%,13% --area 15%,46%,25%,36%\n" +
		"  tawny photo testdata/photo/smear-demo.jpg --strip testdata/photo/strip-demo.csv@60,40,680,100 --area 120,260,200,200",
	New: func() Task {
		in := &PhotoInput{}
		return asking(func(ctx context.Context, env *Env) (Result, error) { return Photo(env, *in) },
			words(fileArg("a photo", &in.File)), Group{"Marks", in.markFields()})
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
		s.line("")
		s.line("To take a photo that can be measured:")
		for _, a := range r.Advice {
			s.fold("  ", a)
		}
		return
	}
	for _, a := range r.Areas {
		s.line("")
		s.line("%s%s   %s: %s", s.patch(a.Hex), labText(a.Lab), a.Area, a.Verdict)
		for _, w := range append(append([]string(nil), a.Why...), a.Warnings...) {
			s.fold("    ", w)
		}
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
	s.line("")
	repeat := ""
	if r.Repeat > 0 {
		repeat = fmt.Sprintf(" --repeat %.1f", max(0.1, r.Repeat))
	}
	s.line("Use it with --skin %s%s", r.Reading, repeat)
	s.fold("", "A photo is one angle with the gloss left out: for bare skin that will do, for shimmer it is one look of many.")
}
