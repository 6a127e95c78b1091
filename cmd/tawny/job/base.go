package job

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/store"
)

var baseTopic = &Job{
	Name:  "base",
	Short: "List, show, add and check the bases powders go into",
	Long: `A base is a lotion, cream, oil, mist or spray without its powders: built in, a
recipe of your own in a .txt file, or a CSV file. 'base add' makes such a file of
pasted lines or of a bought base's label; 'base check' explains every fault;
'base show NAME --csv' writes a base as such a file, to start your own from.

The columns of a base file, its first line after the keys:

  ` + strings.Join(batch.BaseHeader, ",") + `

percent is % w/w of the base (empty where it is bought ready made, its rows then
in label order); add_below_c is the temperature in °C an ingredient goes in below;
usual_low and usual_high are its supplier's range, in per cent of usual_of, which
is product or oil; all from add_below_c on may be empty. An inci of several
substances is name=percent joined by ;, the percent from its supplier's sheet, which
takes the word draft off the labels. Roles are joined by ; and are some of

  ` + wrapped(spelt(batch.Roles)) + `

Before them stand the keys, one to a line, such as '# kind: lotion'. base, kind,
density_g_ml and consistency are needed, others as the kind asks:

  ` + wrapped(strings.Split(batch.BaseKeys, ", ")) + `

kind is ` + strings.Join(spelt(batch.Kinds), ", ") + `; consistency is ` + strings.Join(spelt(batch.Consistencies), ", ") + `.
areas is where it may be worn: ` + palette.AreasForm + ` (default body).
assessed lists INCI names tawny does not know and a safety assessor has found fit as
they are here, joined by ;, which takes them off the labels' DRAFT.
assumed lists keys that were filled in and nobody measured; once you have, take them
off that line.
Those built in are for the body, and a safety assessor says whether yours is fit for
more.`,
	Example: "  tawny base list\n  tawny base show 'Everyday lotion'\n  tawny base check mine.csv --part 'ultramarine blue=0.3'",
}

var baseListJob = &Job{
	Name:    "base list",
	Short:   "List the built-in bases",
	Long:    "Lists the built-in bases, lotions first, then oils, mists and ready-made ones.",
	Example: "  tawny base list\n  tawny base list --json",
	New: func() Task {
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			var views BaseList
			for _, b := range batch.Builtin() {
				views = append(views, *viewBase(b, batch.Request{}))
			}
			return views, nil
		})
	},
}

// BaseList is bases, each with what was found in it.
type BaseList []BaseView

// Show lists the bases.
func (list BaseList) Show(s *Screen) {
	var bases []batch.Base
	for _, b := range list {
		bases = append(bases, b.Base)
	}
	s.with(func(w io.Writer) error { return batch.BasesText(w, bases) })
}

func baseArg(to *string) Group {
	return words(Field{Name: "base", Words: "a base's name or file is accepted", Arg: true, Lists: "base", To: to})
}

var baseShowJob = &Job{
	Name:    "base show",
	Args:    "NAME",
	Short:   "Show a base: its phases and ingredients",
	Long:    "Shows a base, built in or from a CSV file, phase by phase, or with --csv as the\nfile it is read from.",
	Example: "  tawny base show 'Velvet glow oil'\n  tawny base show 'Everyday lotion' --csv > mine.csv",
	New: func() Task {
		var name string
		var csv bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			if csv && env.JSON {
				return nil, faultf("csv", "and {json} are both given; one is accepted")
			}
			v, err := BaseOf(name, Input{env: env})
			if err != nil {
				return nil, err
			}
			v.csv, v.whole = csv, true
			return v, nil
		}, baseArg(&name), Group{Title: "Output", Fields: []Field{
			{Name: "csv", Words: "print the base as a CSV file, to start your own from", Local: true, To: &csv},
		}})
	},
}

var baseAddJob = &Job{
	Name:  "base add",
	Args:  "NAME RECIPE",
	Short: "Make a base of your own recipe, or of a bought base's label",
	Long: `Reads a recipe, from the words given or a .txt file of it.

` + batch.RecipeWords + `

What it implies is filled in and said: the phases, the heat its waxes and butters
want, the usual shares of a preservative sold as a mixture. What is not known is
asked for. Without --file nothing is written.`,
	Example: "  tawny base add 'Kitchen lotion' 'water 70 %, glycerin 4, emulsifying wax 6, sunflower oil 18.6, phenoxyethanol and ethylhexylglycerin 1, vitamin e 0.4' --ph 5-5.5\n" +
		"  tawny base add 'Bucket lotion' 'Ingredients: Aqua, Glycerin, Cetearyl Alcohol, Phenoxyethanol' --file bucket.csv",
	New: func() Task {
		q := &baseAdd{}
		return asking(q.run, words(nameArg("name", "what to call it", &q.name), Field{Name: "recipe", Words: "the recipe, or a .txt file of it, is accepted", Arg: true, Lines: true, To: &q.recipe}),
			Group{Title: "Base", Fields: []Field{
				{Name: "kind", Words: "what it is: " + orList(spelt(batch.Kinds)) + " (default by its ingredients)", Choices: spelt(batch.Kinds), To: &q.kind},
				{Name: "ph", Words: "the finished product's pH: 5 or 4.8-5.2", To: &q.ph},
				{Name: "density", Words: "what 1 ml of it weighs, g; weigh 10 ml", Unit: "g", Low: 0.5, High: 2, To: &q.density},
				{Name: "file", Words: "the CSV file to write", Lists: "csv", Local: true, To: &q.file},
				{Name: "replace", Words: "in place of a file of that name", To: &q.replace},
			}})
	},
}

// baseAdd is a base in a maker's own words.
type baseAdd struct {
	name, recipe, kind, ph, file string
	density                      float64 // g/ml, 0 where not known
	replace                      bool
}

func (q *baseAdd) run(ctx context.Context, env *Env) (Result, error) {
	file, text := "the recipe", q.recipe
	if strings.EqualFold(filepath.Ext(q.recipe), ".txt") {
		var err error
		if text, err = env.recipe(q.recipe); err != nil {
			return nil, err
		}
		file = filepath.Base(q.recipe)
	}
	// After the recipe, so that its lines keep their numbers and this goes before what they say.
	text += around("\nname: ", q.name, "") + around("\nkind: ", q.kind, "") + around("\nph: ", q.ph, "") + when(q.density != 0, fmt.Sprintf("\ndensity: %g", q.density))
	b, err := batch.ParseRecipe(text, file)
	if err != nil {
		return nil, input(err)
	}
	v := viewBase(b, batch.Request{})
	v.whole = true
	if q.file == "" {
		v.Notes = []string{"nothing was written; --file mine.csv writes it, and --base mine.csv takes it from there"}
		return v, nil
	}
	v.Notes = []string{fmt.Sprintf("its name to tawny is its file's: --base %s", q.file)}
	if env.isFile(q.file) && !q.replace {
		return nil, faultf("file", "is %s, which is there already; {replace} puts this base in its place", q.file)
	}
	var out bytes.Buffer
	if err := batch.WriteBase(&out, b); err != nil {
		return nil, err
	}
	return v, env.write(store.File{Path: q.file, Data: out.Bytes()})
}

var baseCheckJob = &Job{
	Name:  "base check",
	Args:  "NAME",
	Short: "Explain every fault of a base, alone or with its powders",
	Long: `Checks a base against the quoted rules and common practice: its sum, its
preservative and pH, emulsifier and antioxidant, and with --part, --area and
--scent whether it suits the powders, the place it is worn and the scent. It
notes too whether powders stay up in it, and what leaves its labels a draft.
It exits with 2 where there is a stop or a fault: something to mend before the
base is made.`,
	Example: "  tawny base check 'Everyday lotion'\n  tawny base check mine.csv --part 'ultramarine blue=0.3' --area lips",
	New: func() Task {
		q := &Input{}
		var name string
		fields := append([]Field{
			q.drawerField(),
			q.alsoField(),
			{Name: "part", Words: "a powder it is to carry: 'pale gold=2' (% w/w of the product); repeatable", Lists: "powder=", To: &q.Parts},
			q.areaField(),
			q.nozzleField(),
		}, q.Bench.scentFields()...)
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			q.env = env
			v, err := BaseOf(name, *q)
			if err != nil {
				return nil, err
			}
			v.strict = true
			return v, nil
		}, baseArg(&name), Group{Title: "With", Fields: fields})
	},
}

// Show writes the base, where it is to be seen whole, and what was found in it.
func (v *BaseView) Show(s *Screen) {
	if v.csv {
		s.with(func(w io.Writer) error { return batch.WriteBase(w, v.Base) })
		return
	}
	if v.whole {
		s.with(func(w io.Writer) error { return batch.BaseText(w, v.Base) })
		s.line("")
	}
	s.with(func(w io.Writer) error { return batch.FindingsText(w, v.Findings) })
	s.notes(v.Notes)
}

// Fault is the error of a base that was checked and is not to be made or sold as it
// is.
func (v *BaseView) Fault() error {
	n := map[batch.Severity]int{}
	for _, f := range v.Findings {
		n[f.Severity]++
	}
	of := func(s batch.Severity) string { return when(n[s] > 0, plural(n[s], string(s))) }
	if list := nonEmpty(of(batch.Stop), of(batch.Fault)); v.strict && len(list) > 0 {
		return inputf("%s: %s to mend first", v.Name, strings.Join(list, " and "))
	}
	return nil
}

// spelt are the words of a list.
func spelt[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// with lets another package write to the screen, keeping the first error.
func (s *Screen) with(write func(io.Writer) error) {
	if s.err == nil {
		s.err = write(s.w)
	}
}

// BaseView is a base with what the checks say of it.
type BaseView struct {
	batch.Base
	SumPercent float64         `json:"sumPercent"`
	HasWater   bool            `json:"hasWater"`
	Findings   []batch.Finding `json:"findings"`
	Notes      []string        `json:"notes,omitempty"`

	csv, whole, strict bool // told as its file, with its ingredients, or as an error where it has faults
}

// BaseOf checks a base, built in or from a file, alone or with the powders, area
// and scent it is to carry.
func BaseOf(name string, in Input) (*BaseView, error) {
	in.Base, in.Grams, in.weighOnly = name, DefaultGrams, true
	s, err := in.open()
	if err != nil {
		return nil, err
	}
	var parts []film.Part
	if len(in.Parts) > 0 {
		if err := s.openDrawer(); err != nil {
			return nil, err
		}
		if parts, err = s.parts(in.Parts); err != nil {
			return nil, err
		}
	}
	use, err := s.batchRequest("", &BlendView{parts: parts})
	if err != nil {
		return nil, err
	}
	v := viewBase(s.base, use)
	made, err := batch.Scale(use)
	if err != nil {
		return v, nil // what cannot be made is among the findings
	}
	if s := made.Suspension; s != nil {
		v.Notes = append(v.Notes, s.Text)
	}
	for _, why := range made.Label.EU.Draft {
		v.Notes = append(v.Notes, "Its labels say DRAFT: "+why)
	}
	return v, nil
}

func viewBase(b batch.Base, use batch.Request) *BaseView {
	return &BaseView{Base: b, SumPercent: b.Sum(), HasWater: b.HasWater(), Findings: batch.Check(b, use)}
}
