package job

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tawny/blend/book"
	"tawny/colour"
)

// Show lists the records of a kind, or counts those of each.
func (v *BookList) Show(s *Screen) {
	if v.Kind == "" {
		s.line("%s holds", v.Book)
		for _, n := range v.Counts {
			name := string(n.Kind)
			if n.Count == 1 {
				name = singular(n.Kind)
			}
			s.line("%6d %s", n.Count, name)
		}
		return
	}
	if len(v.Records) == 0 {
		s.line("No %s in the book.", v.Kind)
		return
	}
	s.entries(v.Records)
}

func (s *Screen) entries(list []book.Entry) {
	wide := 0
	for _, e := range list {
		wide = max(wide, len([]rune(e.Title)))
	}
	for _, e := range list {
		s.line("%5d  %-10s  %-*s  %s", e.ID, e.On, min(wide, 40), e.Title, shortNumbers(e.Says))
	}
}

var longNumber = regexp.MustCompile(`\d+\.\d{3,}`)

// shortNumbers rounds the numbers of a line of the book, which are whole, to
// what a maker can weigh.
func shortNumbers(says string) string {
	return longNumber.ReplaceAllStringFunc(says, func(text string) string {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return text
		}
		return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
	})
}

// Show writes the record and what belongs to it.
func (v *BookRecord) Show(s *Screen) {
	s.record(v.Kind, v.Record)
	switch r := v.Record.(type) {
	case *book.Client:
		s.line("'tawny book client %d' shows their skin and what was made.", r.ID)
	case *book.Blend:
		for _, p := range r.Powders {
			s.line("  %-22s %6.2f %%   %s", p.PowderName, p.Percent, lotWords(p.Lot, 1))
		}
	case *book.Batch:
		if code := codeOf(r.Request); code != "" {
			s.line("  %-18s %s", "Code", code)
		}
		s.bookWeights(r.Weights)
		for _, step := range sheetIn(r.Document).Steps {
			for _, k := range step.Readings {
				if k.Value != "" {
					s.line("  %s", strings.TrimSpace(fmt.Sprintf("step %d, %s: %s %s", step.Number, k.What, k.Value, k.Unit)))
				}
			}
		}
	case *book.Correction:
		s.bookWeights(r.Weights)
	}
	for _, l := range v.Stock {
		s.line("  lot %-12s %9.2f g left", l.Lot, l.LeftG)
	}
	for _, l := range v.Ledger {
		what := l.Kind
		switch {
		case l.CorrectionID != 0:
			what = fmt.Sprintf("correction %d", l.CorrectionID)
		case l.BatchID != 0:
			what = fmt.Sprintf("batch %d", l.BatchID)
		}
		s.line("  %-10s  %-14s %+9.2f g  %9.2f g left   %s", l.MovedOn, what, l.Grams, l.LeftG, l.Note)
	}
	s.toMend(v.Held)
	for _, r := range v.Readings {
		s.line("  %-10s  read as %s, %s", r.TakenOn, labText(r.Lab), seenWords(r.Seen))
	}
	for _, c := range v.Corrections {
		s.line("")
		s.record(book.Corrections, &c)
		s.bookWeights(c.Weights)
	}
}

// codeOf is the code that a batch was given, "" where it goes by its number.
func codeOf(request json.RawMessage) string {
	var asked struct{ Code string }
	_ = json.Unmarshal(request, &asked) // of a request that cannot be read nothing is known
	return asked.Code
}

// record writes a record of a kind by its fields, each that is known on a line.
func (s *Screen) record(kind book.Kind, of any) {
	name := singular(kind)
	title, made := strings.ToUpper(name[:1])+name[1:], kind != book.Batches && kind != book.Corrections
	facts := book.Facts(of)
	for _, f := range facts {
		switch made = made || f.Field == "made_on"; f.Field {
		case "id":
			title += fmt.Sprintf(" %d", f.Value)
		case "name", "lot", "path":
			title += fmt.Sprintf(", %s", f.Value)
		}
	}
	if !made {
		title += ", planned, not weighed yet"
	}
	s.line("%s", title)
	for _, f := range facts {
		name, value := factWords(f)
		if c, ok := f.Value.(colour.Lab); ok {
			rgb, _ := colour.SRGB(c)
			value = s.patch(rgb.Hex()) + labText(c)
		}
		if name != "" {
			s.line("  %-18s %s", name, value)
		}
	}
}

// fieldWords names the fields that their columns do not, and leaves out those that a
// record's first line has.
var fieldWords = map[string]string{
	"id": "", "name": "", "path": "", "lot": "", "sha256": "SHA-256", "recorded_at": "Written", "lab": "Colour", "measured": "Read as",
	"source": "Colour is", "expires_on": "Good until", "held": "Held back", "price_per_g": "Price of a gram",
	"de00": "Predicted ΔE00 off", "de00_95": "95 in 100 within", "applied_mg_cm2": "Worn",
}

// fieldUnits are the units that columns end in.
var fieldUnits = [][2]string{{"_per_g", ""}, {"_mg_cm2", " mg/cm²"}, {"_percent", " %"}, {"_ml", " ml"}, {"_px", " px"}, {"_g", " g"}}

// factWords names a field and tells its value with its unit; one without a name is
// not told.
func factWords(f book.Fact) (name, value string) {
	name, value = f.Field, fmt.Sprint(f.Value)
	if x, ok := f.Value.(float64); ok {
		value = fmt.Sprintf("%.6g", math.Round(x*1000)/1000)
	}
	for _, u := range fieldUnits {
		if short, ok := strings.CutSuffix(name, u[0]); ok {
			name, value = short, value+u[1]
			break
		}
	}
	switch {
	case f.Of != "":
		return "Of", f.Of + " " + value
	case f.Field == "geometry" || f.Field == "skin_geometry":
		value = geometryWords(value)
	case f.Field == "seen":
		value = seenWords(value)
	case f.Field == "recorded_at":
		value, _, _ = strings.Cut(value, "T")
	case f.Field == "de00_95":
		value = "ΔE00 " + value
	}
	if word, ok := fieldWords[f.Field]; ok {
		return word, value
	}
	name = strings.ReplaceAll(strings.ReplaceAll(name, "_", " "), "de00", "ΔE00")
	first, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(first)) + name[size:], value
}

// geometryWords is how a colour was read, nothing where nobody said, and what an
// older record has of its own.
func geometryWords(g string) string {
	if !slices.Contains(colour.Geometries[:], colour.Geometry(g)) {
		return g
	}
	return colour.Geometry(g).Words()
}

// bookWeights lists what is weighed into a batch, numbered as 'weigh' takes them.
func (s *Screen) bookWeights(list []book.Weight) {
	for _, w := range list {
		if w.PlannedG == 0 && w.WeighedG != nil && *w.WeighedG == 0 { // such as what was put in and taken out again
			continue
		}
		weighed := "not weighed yet"
		if w.WeighedG != nil {
			weighed = fmt.Sprintf("%9.2f g weighed", *w.WeighedG)
		}
		lot := ""
		if w.Lot != "" {
			lot = "   lot " + w.Lot
		}
		s.line("  %2d %-38s %9.2f g planned   %s%s", w.Position, w.Name, w.PlannedG, weighed, lot)
	}
}

// useWords says where a lot went.
func useWords(u book.Use) string {
	when := "planned"
	if u.MadeOn != "" {
		when = u.MadeOn
	}
	what := fmt.Sprintf("batch %d", u.BatchID)
	amount := fmt.Sprintf("%.2f g planned", u.PlannedG)
	if u.WeighedG > 0 {
		amount = fmt.Sprintf("%.2f g weighed", u.WeighedG)
	}
	switch u.Kind {
	case "blend":
		what, when, amount = fmt.Sprintf("blend %d", u.BlendID), "", fmt.Sprintf("%.2f %%", u.Percent)
	case "correction":
		what = fmt.Sprintf("correction %d of batch %d", u.CorrectionID, u.BatchID)
	}
	return fmt.Sprintf("%-10s  %s, %s: %s of %s", when, what, orNothing(u.Title), amount, u.Name)
}

func seenWords(seen string) string {
	switch seen {
	case "skin":
		return "on skin"
	case "jar":
		return "in the jar"
	case "drawdown", "card":
		return "on a " + seen
	}
	return "as " + seen
}

// madeWords says when something was made, or else that it was not.
func madeWords(day, not string) string {
	if day == "" {
		return not
	}
	return "made on " + day
}

// orNothing says that a record has no name.
func orNothing(name string) string { return orElse(name, "without a name") }
