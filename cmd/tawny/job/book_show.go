package job

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

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

// Show writes the record.
func (v *BookRecord) Show(s *Screen) {
	switch r := v.Record.(type) {
	case book.Powder:
		s.line("Powder %d, %s", r.ID, r.Name)
		s.fact("Family", r.Family)
		s.fact("Colour is", r.Source)
		s.fact("Retired on", r.RetiredOn)
		s.fact("Note", r.Note)
		for _, l := range v.Stock {
			s.line("  lot %-12s %9.2f g left", l.Lot, l.LeftG)
		}
	case book.Lot:
		s.bookLot(r, v)
	case book.Movement:
		s.line("Movement %d of lot %d", r.ID, r.LotID)
		s.fact(r.Kind, fmt.Sprintf("%+.6g g on %s", r.Grams, r.MovedOn))
		s.fact("Note", r.Note)
	case book.Client:
		s.line("Client %d, %s", r.ID, r.Name)
		s.fact("Note", r.Note)
		s.line("'tawny book client %d' shows their skin and what was made.", r.ID)
	case book.Skin:
		s.line("Skin %d, %s", r.ID, orNothing(r.Name))
		s.colourFact("Colour", &r.Lab, r.How)
		s.fact("Geometry", geometryWords(r.Geometry))
		s.numberFact("Spread ΔE00", r.SpreadDE00)
		s.fact("Note", r.Note)
	case book.Reading:
		s.bookReading(r)
	case book.Blend:
		s.bookBlend(r)
	case book.Batch:
		s.bookBatch(r, v)
	case book.Correction:
		s.bookCorrection(r)
	case book.Fit:
		s.line("Fit %d of powder %d, %s", r.ID, r.PowderID, r.FittedOn)
		s.fact("Verdict", strings.TrimSuffix(r.Verdict+": "+r.Why, ": "))
		s.fact("Off", fmt.Sprintf("ΔE00 %.2f on average, %.2f at most", r.MeanDE00, r.WorstDE00))
		s.numberFact("Strength", r.Strength)
		s.fact("Geometry", geometryWords(r.Geometry))
		s.fact("Note", r.Note)
	case book.File:
		s.line("File %d, %s", r.ID, r.Path)
		s.of("client", r.ClientID)
		s.of("blend", r.BlendID)
		s.of("batch", r.BatchID)
	case book.Photo:
		s.line("Photo %d, %s", r.ID, r.TakenOn)
		s.fact("Place", r.Place)
		s.fact("Picture", fmt.Sprintf("%d × %d, %s", r.WidthPx, r.HeightPx, r.MediaType))
		s.fact("Note", r.Note)
	}
}

// fact is one line of a record, left out where nothing is known.
func (s *Screen) fact(name, value string) {
	if value != "" {
		s.line("  %-12s %s", name, value)
	}
}

// of names the record that one is of, where there is one.
func (s *Screen) of(kind string, id int64) {
	if id != 0 {
		s.fact("Of", fmt.Sprintf("%s %d", kind, id))
	}
}

func (s *Screen) numberFact(name string, x *float64) {
	if x != nil {
		s.fact(name, fmt.Sprintf("%.4g", *x))
	}
}

func (s *Screen) colourFact(name string, c *colour.Lab, how string) {
	if c == nil {
		return
	}
	rgb, _ := colour.SRGB(*c)
	text := s.patch(rgb.Hex()) + labText(*c)
	if how != "" {
		text += ", " + how
	}
	s.fact(name, text)
}

func (s *Screen) bookLot(r book.Lot, v *BookRecord) {
	s.line("Lot %d, number %s on the bag", r.ID, r.Lot)
	s.fact("Supplier", r.Supplier)
	s.fact("Received", r.ReceivedOn)
	s.fact("Good until", r.ExpiresOn)
	s.fact("Held back", r.Held)
	s.numberFact("Per gram", r.PricePerG)
	s.numberFact("Strength", r.Strength)
	s.numberFact("Shade off", r.ShadeShiftDE00)
	s.fact("Note", r.Note)
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
	s.bookReadings(v.Readings)
}

// geometryWords is how a colour was read, nothing where nobody said, and what an
// older record has of its own.
func geometryWords(g string) string {
	if !slices.Contains(colour.Geometries[:], colour.Geometry(g)) {
		return g
	}
	return colour.Geometry(g).Words()
}

func (s *Screen) bookReading(r book.Reading) {
	s.line("Reading %d, %s", r.ID, r.TakenOn)
	s.colourFact("Colour", &r.Lab, r.How+", "+seenWords(r.Seen))
	s.fact("Place", r.Place)
	s.fact("Instrument", r.Instrument)
	s.fact("Geometry", geometryWords(r.Geometry))
	if r.Reflectance != nil {
		s.fact("Spectrum", "380 to 730 nm")
	}
	s.of("client", r.ClientID)
	s.of("skin", r.SkinID)
	s.of("lot", r.LotID)
	s.of("batch", r.BatchID)
	s.fact("Note", r.Note)
}

func (s *Screen) bookReadings(list []book.Reading) {
	for _, r := range list {
		s.line("  %-10s  read as %s, %s", r.TakenOn, labText(r.Lab), seenWords(r.Seen))
	}
}

func (s *Screen) bookBlend(r book.Blend) {
	s.line("Blend %d, %s, written %s", r.ID, orNothing(r.Name), r.RecordedAt.Format("2006-01-02"))
	s.fact("Base", r.Base)
	s.colourFact("Skin", r.Skin, geometryWords(r.SkinGeometry))
	s.colourFact("Target", &r.Target, geometryWords(r.Geometry))
	s.colourFact("Predicted", &r.Predicted, fmt.Sprintf("ΔE00 %.2f off", r.DE00))
	if r.DE00At95 != nil {
		s.fact("Certainty", fmt.Sprintf("95 of 100 wearings lie within ΔE00 %.1f of it", *r.DE00At95))
	}
	s.fact("Load", fmt.Sprintf("%.4g %%", r.LoadPercent))
	if r.AppliedMgCM2 != nil {
		s.fact("Worn", fmt.Sprintf("%.3g mg/cm²", *r.AppliedMgCM2))
	}
	s.fact("Note", r.Note)
	for _, p := range r.Powders {
		s.line("  %-22s %6.2f %%   %s", p.PowderName, p.Percent, lotWords(p.Lot, 1))
	}
}

func (s *Screen) bookBatch(r book.Batch, v *BookRecord) {
	s.line("Batch %d, %s, %s", r.ID, orNothing(r.Name), madeWords(r.MadeOn, "planned, not weighed yet"))
	s.fact("Base", r.Base)
	s.of("blend", r.BlendID)
	s.fact("Planned", fmt.Sprintf("%.6g g, powders %.4g %%", r.PlannedG, r.LoadPercent))
	if r.MadeG != nil {
		s.fact("Made", fmt.Sprintf("%.6g g", *r.MadeG))
	}
	if r.Containers != nil && r.ContainerML != nil {
		s.fact("Into", fmt.Sprintf("%d of %.4g ml", *r.Containers, *r.ContainerML))
	}
	s.numberFact("Cost", r.Cost)
	s.fact("Note", r.Note)
	s.bookWeights(r.Weights)
	s.bookReadings(v.Readings)
	for _, c := range v.Corrections {
		s.line("")
		s.bookCorrection(c)
	}
}

func (s *Screen) bookCorrection(r book.Correction) {
	s.line("Correction %d of batch %d, %s", r.ID, r.BatchID, madeWords(r.MadeOn, "planned, not weighed yet"))
	s.colourFact("Read as", r.Measured, r.How+", "+seenWords(r.Seen))
	s.fact("Geometry", geometryWords(r.Geometry))
	s.numberFact("ΔE00 before", r.DE00Before)
	s.numberFact("ΔE00 after", r.DE00Predicted)
	s.fact("Note", r.Note)
	s.bookWeights(r.Weights)
}

// weights lists what is weighed into a batch, numbered as 'weigh' takes them.
func (s *Screen) bookWeights(list []book.Weight) {
	for _, w := range list {
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
