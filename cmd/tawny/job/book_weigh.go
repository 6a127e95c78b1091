package job

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/colour"
)

var bookWeighJob = &Job{
	Name:  "book weigh",
	Args:  "BATCH [NAME=GRAMS]...",
	Short: "Write down what the balance showed",
	Long: `Writes the weights of a planned batch as actually weighed, which is what goes off
the stock. Name what you weighed as the sheet does, or by its line's number where
a name is in it twice. What is left out stays as it was; with --as-planned it was
weighed as planned. Weighing again replaces what was written; 'bronze=none' takes
it back. A weight that is off by more than 3 % and five steps of the balance from what
it should be by now, has its digits in another order or is of a lot that is held back,
past its day or another powder's is written with --yes alone, and so is a finished batch
of more than went into it.
What is not weighed by then does not count as in it, and limits are held against what
it weighs; what is weighed later is counted on, and --made after a mending is with that.

What has no line, such as an acid that sets the pH or its solution ('citric acid 20 %=1'),
is written with --put, and goes onto the labels; more of it later is counted with it, and
--put 'citric acid=none' takes it out. What the sheet has a blank for is written with
--reading and taken back with 'pH=none'; what is outside what its step asks, or what
follows from the pots, is written with --yes alone. A pH counts on the batch's labels,
and from the pot empty and full follows what the batch weighs.`,
	Example: `  tawny book weigh 3 'pale gold=2.97' bronze=0.98
  tawny book weigh 3 'pale gold=2.97' --as-planned --made 98.6
  tawny book weigh 3 --lot 'pale gold=G-0245' --on 2026-05-31
  tawny book weigh 3 --reading pH=5.1 --reading '8 temperature=38'
  tawny book weigh 3 --put 'citric acid=0.4' --reading pH=5.2
  tawny book weigh --correction 1 bronze=0.21`,
	New: func() Task {
		q := &BookWeigh{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			if q.Correction != 0 && q.BatchText != "" {
				if _, err := RecordID("batch", q.BatchText); err == nil {
					return nil, faultf("correction", "is %d, and batch %s is named too; the correction's number is enough", q.Correction, q.BatchText)
				}
				// A correction's words are all weights.
				q.Weights, q.BatchText = append([]string{q.BatchText}, q.Weights...), ""
			}
			if !q.Yes {
				if err := env.ahead("on", q.On); err != nil {
					return nil, err
				}
			}
			v, err := env.Book.Weigh(ctx, *q)
			if err != nil || v.Batch == nil {
				return v, err
			}
			_, made, _, err := env.batchAsMade(ctx, q.BatchText, Input{}, false)
			if err != nil { // the weights are written all the same
				v.Notes = append(v.Notes, fmt.Sprintf("Whether what was weighed is within its limits could not be checked: %v.", err))
				return v, nil
			}
			if (v.made != nil || v.mending != nil) && v.Load > 0 {
				v.Load = made.AskedLoad
			}
			v.BestBefore = made.BestBefore
			v.leaving(made.Findings)
			v.Notes = append(v.Notes, toMend(made.Findings)...)
			return v, nil
		}, words(
			Field{Name: "batch", Words: "a batch's number in the book or its code is accepted; 'tawny book list batches' shows them", Arg: true, Maybe: true, Lists: "batch", To: &q.BatchText},
			Field{Name: "weight", Words: "what the balance showed: name=grams, or name=none", Arg: true, Maybe: true, Rest: true, Lists: "weight", To: &q.Weights},
		), Group{Title: "Weights", Fields: []Field{
			{Name: "correction", Words: "weigh what a correction adds, instead of a batch", Low: 1, To: &q.Correction},
			{Name: "lot", Words: "the lot it was weighed from, where not the one planned: 'pale gold=G-0245'; repeatable", To: &q.Lots},
			{Name: "reading", Words: "what was read for a blank of the sheet: 'pH=5.4', with its step first where several ask it: '9 temperature=38'; repeatable", To: &q.Readings},
			{Name: "put", Words: "what was put in beside the sheet's lines, such as what sets the pH: 'citric acid=0.4'; repeatable", To: &q.Put},
			{Name: "was", Words: "what a line, by its number, or a blank is thought to have: 3=17.3, pH=none; another value is written over with --yes alone; repeatable", To: &q.Was},
			{Name: "as-planned", Words: "whatever is not named was weighed as planned", To: &q.AsPlanned},
			{Name: "on", Words: "the day (default today)", To: &q.On},
			{Name: "yes", Words: "write what looks like a slip", To: &q.Yes},
			{Name: "made", Words: "what the finished batch weighed, in grams; none takes it back", Unit: "g", High: 1e6, Above: true, None: true, To: &q.Made},
		}})
	},
}

// Show lists the weights.
func (v *BookWeighed) Show(s *Screen) {
	show := func(g float64) string { return grams(g, v.balance()) }
	if v.Batch != nil {
		s.line("Batch %d, %s, %s", v.Batch.ID, orNothing(v.Batch.Name), madeWords(v.Batch.MadeOn, "nothing weighed yet"))
		s.bookWeights(v.Batch.Weights)
	} else {
		s.line("Correction %d of batch %d, %s", v.Correction.ID, v.Correction.BatchID, madeWords(v.Correction.MadeOn, "nothing weighed yet"))
		s.bookWeights(v.Correction.Weights)
		if after := v.Correction.AfterG; after != nil {
			s.line("")
			s.line("The batch weighs %s g with it.", show(*after))
		}
	}
	if len(v.Unweighed) > 0 {
		s.line("")
		s.fold("", fmt.Sprintf("Still to weigh: %s.", strings.Join(v.Unweighed, ", ")))
	} else if v.Batch != nil {
		of := "it"
		if v.made != nil {
			of = "the " + show(*v.made) + " g that it weighs"
		}
		s.line("")
		s.line("%s g in all; the powders are %.2f %% of %s.", show(v.SumG), v.Load, of)
	}
	to := "To"
	for _, l := range v.More {
		s.fold("", l)
		to = "Or to"
	}
	for _, l := range v.ToCome {
		s.line("%s keep the proportions weigh %s g of %s, not %s g.", to, show(l.NowG), l.Name, show(l.PlannedG))
	}
	if len(v.against) > 0 {
		s.fold("", fmt.Sprintf("What is still to weigh cannot stay as planned, because of: %s.", strings.Join(v.against, ", ")))
	} else if v.mayLeave {
		all, powders := sums(v.Batch.Weights, (*book.Weight).Grams)
		s.fold("", fmt.Sprintf("Or leave what is still to weigh as planned: the powders are then %.2f %% of the batch, not %.2f %%.", 100*powders/all, v.Batch.LoadPercent))
	}
	s.paragraphs(v.Notes)
}

// BookWeigh is what the balance showed for a batch or a correction.
type BookWeigh struct {
	BatchText  string // its number or code in the book
	Batch      int64
	Correction int64    // instead of Batch
	Weights    []string // "name=grams", or "number=grams" by the place in the list
	Put        []string // "ingredient=grams", of what has no line
	Readings   []string // "blank=what was read", or "step blank=what was read"
	Was        []string // "number=grams", "number=none", "blank=what was read": what they are thought to have
	Lots       []string // "name=lot": the bag it came from, where not the one planned
	AsPlanned  bool     // what is not named was weighed as planned
	On         string   // day; default today
	Made       *float64 // what the finished batch weighed; 0 takes it back
	MadeG      float64  // the same, or as its pots have it; 0 where not known
	Yes        bool     // what looks like a slip is so
}

// BookWeighed is a batch or a correction as weighed.
type BookWeighed struct {
	Batch      *book.Batch      `json:"batch,omitempty"`
	Correction *book.Correction `json:"correction,omitempty"`
	Unweighed  []string         `json:"unweighed,omitempty"` // still to be weighed
	More       []string         `json:"more,omitempty"`      // what to weigh more of before anything else
	ToCome     []ToComeView     `json:"toCome,omitempty"`    // of those, what should change
	Notes      []string         `json:"notes,omitempty"`
	SumG       float64          `json:"sumG"`        // of what was weighed, mendings' too
	Load       float64          `json:"loadPercent"` // of powders in the batch, as made once that is known; 0 while something is unweighed

	BestBefore *batch.BestBefore `json:"bestBefore,omitempty"` // by the lots it is weighed from

	// Of the batch or the correction.
	kind    book.Kind
	madeOn  string
	weights []book.Weight
	before  float64          // g, what a correction was added to
	made    *float64         // g, what a batch weighed once it was finished, with what mended it
	mending *book.Correction // the last that is weighed into a batch, which its pot holds
	addedG  float64          // by all that are
	sheet   batch.Batch      // of a batch, as its document has it

	mayLeave bool     // what is to come as planned, all the same
	against  []string // or what is against it
}

// ToComeView is a line still to weigh that should not stay as planned, to keep
// the proportions with what was weighed.
type ToComeView struct {
	Position int64   `json:"position"`
	Name     string  `json:"name"`
	PlannedG float64 `json:"planned_g"`
	NowG     float64 `json:"now_g"`
}

// Weigh writes down what the balance showed.
func (k Book) Weigh(ctx context.Context, q BookWeigh) (v *BookWeighed, err error) {
	if q.Made != nil {
		q.MadeG = *q.Made
	}
	if (q.BatchText == "") == (q.Correction == 0) {
		return nil, inputf("which batch or correction? one is accepted")
	}
	lots, err := namedLots(q.Lots)
	if err != nil {
		return nil, err
	}
	err = k.read(ctx, together(ctx, func(b *book.Book) error {
		if q.BatchText != "" {
			if q.Batch, err = batchID(ctx, b, q.BatchText); err != nil {
				return err
			}
		}
		was, err := q.read(ctx, b)
		if err != nil {
			return err
		}
		weighings, err := q.weighings(was, lots)
		if err != nil {
			return err
		}
		lines := goneIn(was.weights, weighings)
		late := was.late(weighings)
		if c := was.mending; c != nil { // what it was mended at and was added since
			in, _, _ := batch.WentIn(lines)
			added, _ := sums(c.Weights, (*book.Weight).Grams)
			since := c.BeforeG + added - in
			lines = append(lines, batch.Made{Name: "mending", PlannedG: since, WeighedG: &since})
		}
		sheet, says, err := q.bench(was, lines, late)
		if err != nil {
			return err
		}
		if !q.Yes && (was.made == nil || *was.made != q.MadeG) {
			if err := madeSlip(q.MadeG, was.before, lines, &was.sheet); err != nil {
				return err
			}
		}
		made := cmp.Or(notGiven(q.MadeG), q.Made)
		if c := was.mending; c != nil && made != nil && (*made > 0 || c.AfterG != nil) {
			if err := b.Weigh(ctx, book.Corrections, c.ID, "", made, nil, nil); err != nil {
				return err
			}
			made = nil
		}
		if err := b.Weigh(ctx, was.kind, max(q.Batch, q.Correction), q.On, made, sheet, weighings); err != nil {
			return err
		}
		if v, err = q.read(ctx, b); err != nil {
			return err
		}
		stock, err := b.Stock(ctx)
		if err != nil {
			return err
		}
		v.Notes = append(was.Notes, says...)
		v.reckon(stock)
		if q.Yes {
			return nil
		}
		return wrongLot(slices.DeleteFunc(slices.Clone(v.weights), func(w book.Weight) bool {
			return !slices.ContainsFunc(weighings, func(g book.Weighing) bool { return g.Position == w.Position && w.WeighedG != nil })
		}), stock, v.madeOn)
	}))
	return v, err
}

// read is the batch or the correction as the book has it.
func (q *BookWeigh) read(ctx context.Context, b *book.Book) (*BookWeighed, error) {
	if q.Correction != 0 {
		c, err := book.Get[book.Correction](ctx, b, q.Correction)
		return &BookWeighed{Correction: &c, kind: book.Corrections, madeOn: c.MadeOn, weights: c.Weights, before: c.BeforeG}, err
	}
	a, err := book.Get[book.Batch](ctx, b, q.Batch)
	if err != nil {
		return nil, err
	}
	v := &BookWeighed{Batch: &a, kind: book.Batches, madeOn: a.MadeOn, weights: a.Weights, made: a.MadeG, sheet: sheetIn(a.Document)}
	mended, err := book.Of[book.Correction](ctx, b, "batch_id", a.ID)
	for _, c := range mended {
		if len(unweighed(c.Weights)) > 0 {
			continue
		}
		added, _ := sums(c.Weights, (*book.Weight).Grams)
		if v.mending, v.addedG = &c, v.addedG+added; c.AfterG != nil {
			v.made = c.AfterG
		} else if v.made != nil {
			v.made = new(exact(c.BeforeG + added))
		}
	}
	return v, err
}

// late is what is weighed now that was not, in grams.
func (v *BookWeighed) late(now []book.Weighing) (g float64) {
	for _, w := range now {
		had, added := false, 0.0
		for _, was := range v.weights {
			if was.Position == w.Position && was.WeighedG != nil {
				had, added = true, was.Grams()
			}
		}
		if w.WeighedG != nil && (!had || w.Name != "") { // more of what was put in before
			g += max(0, *w.WeighedG-added)
		}
	}
	return g
}

// weighings matches what was written to the list of what is to be weighed.
func (q *BookWeigh) weighings(was *BookWeighed, lots map[string]string) (list []book.Weighing, err error) {
	planned := was.weights
	now := make([]*book.Weighing, len(planned)) // by line; nil leaves it as it was
	due, balance, drops := map[int64]float64{}, was.balance(), was.dropwise()
	for _, l := range was.toCome() {
		due[l.Position] = l.NowG
	}
	for _, item := range q.Weights {
		g, says := 0.0, "no"
		name, none := strings.CutSuffix(item, "=none")
		if !none {
			if name, g, err = amount(item, inGrams); err != nil {
				return nil, err
			}
			says = trimNumber(g)
		}
		i, err := pickWeight(planned, name)
		if err != nil {
			return nil, err
		}
		w := planned[i]
		if now[i] != nil {
			return nil, inputf("%s is weighed twice; one weight is accepted, their sum if it took two goes", w.Name)
		}
		has := ""
		if w.WeighedG != nil {
			has = trimNumber(*w.WeighedG)
		}
		if err := q.meanwhile(trimNumber(float64(w.Position)), w.Name, has, says, " g"); err != nil {
			return nil, err
		}
		if now[i] = (&book.Weighing{Position: w.Position}); none && w.PlannedG > 0 {
			continue
		}
		asNeeded := w.PlannedG == 0 || slices.Contains(drops, w.Name) && g < w.PlannedG
		if why := slip(w, due[w.Position], g, balance); why != "" && !q.Yes && !asNeeded {
			return nil, faultf("yes", "writes %s g of %s where %s g is planned%s; nothing is written yet", grams(g, balance), w.Name, grams(w.PlannedG, balance), why)
		}
		now[i].WeighedG = &g
	}
	for i, w := range planned {
		nothing := w.PlannedG == 0 && len(q.Weights) > 0 // for which nobody is asked
		if (q.AsPlanned || nothing) && now[i] == nil && w.WeighedG == nil {
			now[i] = &book.Weighing{Position: w.Position, WeighedG: &w.PlannedG}
		}
	}
	for name, lot := range lots {
		i, err := pickWeight(planned, name)
		if err != nil {
			return nil, err
		}
		if w := planned[i]; now[i] == nil && w.WeighedG != nil {
			now[i] = &book.Weighing{Position: w.Position, WeighedG: w.WeighedG} // only its lot is put right
		} else if now[i] == nil {
			return nil, inputf("%s has a lot but no weight; name=grams or {as-planned} says how much", w.Name)
		}
		now[i].Lot = lot
	}
	for _, g := range now {
		if g != nil {
			list = append(list, *g)
		}
	}
	for _, item := range q.Put {
		if list, err = was.putIn(item, list); err != nil {
			return nil, err
		}
	}
	if len(list) == 0 && q.Made == nil && q.On == "" && len(q.Readings) == 0 && len(q.Put) == 0 {
		return nil, inputf("nothing was weighed; name=grams is accepted for %s, or {as-planned}", strings.Join(weightNames(planned), ", "))
	}
	return list, nil
}

// putIn adds to a list what was put in beside the sheet's lines: more of what was before
// counts with that, none takes all of it back, and 0 g is nothing put in.
func (v *BookWeighed) putIn(item string, list []book.Weighing) ([]book.Weighing, error) {
	name, none := strings.CutSuffix(item, "=none")
	g, err := 0.0, error(nil)
	if name = strings.TrimSpace(name); !none {
		if name, g, err = amount(item, inGrams); err != nil {
			return nil, err
		}
	}
	in, err := batch.AsIngredient(name)
	if err != nil {
		return nil, of("put", input(err))
	}
	line := ""
	for _, w := range v.sheet.Weighings { // as it is called there
		if in.INCI != "" && strings.EqualFold(w.INCI, in.INCI) {
			line = w.Name
		}
	}
	now := book.Weighing{Name: name, WeighedG: &g}
	had := 0.0
	for i, w := range v.weights {
		known, err := batch.AsIngredient(w.Name)
		switch same := strings.EqualFold(w.Name, name); {
		case w.PlannedG > 0 || i < len(v.sheet.Weighings):
			if same {
				line = w.Name
			}
		case same || err == nil && in.INCI != "" && strings.EqualFold(known.INCI, in.INCI):
			now.Position, now.Name, had = w.Position, w.Name, w.Grams()
		}
	}
	if v.Batch == nil || line != "" {
		made := when(line != "" && line == v.sheet.Water(), "; what is stirred in for water lost is in what the pot then weighs, {made}")
		return nil, faultf("put", "is %q: of a batch what has no line of its own is accepted%s%s", item, around(", and that is its line ", line, ""), made)
	}
	at := slices.IndexFunc(list, func(l book.Weighing) bool { return l.Name != "" && strings.EqualFold(l.Name, now.Name) })
	if at >= 0 {
		had = *list[at].WeighedG
		list = slices.Delete(list, at, at+1)
	}
	says := fmt.Sprintf("Nothing is put in of %s.", now.Name)
	if !none {
		g = exact(g + had)
	}
	switch balance := v.balance(); {
	case none && had > 0:
		says = fmt.Sprintf("%s is taken out again, %s g.", now.Name, grams(had, balance))
	case g > 0:
		says = fmt.Sprintf("%s put in: %s g in all%s; it goes onto the labels.", now.Name, grams(g, balance), when(had > 0, fmt.Sprintf(", with the %s g before", grams(had, balance))))
	}
	v.Notes = append(v.Notes, says)
	if g > 0 || now.Position > 0 {
		list = append(list, now)
	}
	return list, nil
}

// meanwhile asks about a line or a blank, named as in Was, of which the book has another
// value than was thought, such as one written from another device.
func (q *BookWeigh) meanwhile(named, what, has, now, unit string) error {
	if has == "" || q.Yes {
		return nil
	}
	for _, item := range q.Was {
		of, thought, _ := strings.Cut(item, "=")
		if of == named && thought != has && now != has {
			return faultf("yes", "writes %s%s of %s, of which the book has %s%s by now, as from another device; nothing is written yet", now, unit, what, has, unit)
		}
	}
	return nil
}

// pickWeight finds the place of a line by name or by its number.
func pickWeight(list []book.Weight, name string) (int, error) {
	var found []int
	var base []int // by its part in it, as a mending prints it
	for i, w := range list {
		if strings.EqualFold(w.Name, name) {
			found = append(found, i)
		}
		if w.Role == "base" && strings.EqualFold(name, "base") {
			base = append(base, i)
		}
	}
	if len(found) == 0 && len(base) == 1 {
		found = base
	}
	if n, err := strconv.Atoi(name); err == nil && len(found) == 0 && n >= 1 && n <= len(list) {
		return n - 1, nil
	}
	switch names := weightNames(list); {
	case len(found) == 1:
		return found[0], nil
	case len(list) == 0:
		return 0, inputf("no weights are planned for it")
	case len(found) == 0:
		return 0, inputf("%q is not in it; the nearest is %q, and there are %s", name, colour.Nearest(name, names), strings.Join(names, ", "))
	}
	at := listed(found, ", ", func(i int) string { return fmt.Sprintf("%d (%.4g g)", list[i].Position, list[i].PlannedG) })
	return 0, inputf("%s is in it %d times; name it by its number: %s", list[found[0]].Name, len(found), at)
}

func weightNames(list []book.Weight) (names []string) {
	for _, w := range list {
		names = append(names, w.Name)
	}
	return names
}

// unweighed names the lines that were not on the balance yet.
func unweighed(list []book.Weight) []string {
	return weightNames(slices.DeleteFunc(slices.Clone(list), func(w book.Weight) bool { return w.WeighedG != nil }))
}

// slip is why grams look like a slip, "" where they do not: far off what keeps the
// proportions by now, or with its digits in another order, and neither as planned nor
// what the book has already.
func slip(w book.Weight, due, g, balance float64) string {
	due = cmp.Or(due, w.PlannedG)
	show := func(of float64) string { return grams(of, balance) }
	sorted := func(of float64) string {
		digits := []byte(show(of))
		slices.Sort(digits)
		return string(digits)
	}
	switch {
	case w.WeighedG != nil && *w.WeighedG == g, show(g) == show(w.PlannedG), show(g) == show(due):
		return ""
	case sorted(g) == sorted(w.PlannedG), sorted(g) == sorted(due):
		return ", the same digits in another order"
	case batch.Far(g, w.PlannedG, balance) && batch.Far(g, due, balance):
		return fmt.Sprintf(", %.3g times as much", g/due)
	}
	return ""
}

// reckon tells of what the book now says, and of the lots it came from.
func (v *BookWeighed) reckon(stock []book.LotStock) {
	weights := v.weights
	all, powders := sums(weights, func(w *book.Weight) float64 {
		if w.WeighedG == nil {
			return 0
		}
		return *w.WeighedG
	})
	v.Unweighed = unweighed(weights)
	v.offPlan()
	v.ToCome = v.toCome()
	v.SumG = exact(all + v.addedG)
	if len(v.Unweighed) == 0 && v.SumG > 0 {
		v.Load = 100 * powders / v.SumG
	}
	v.short(stock)
}

// sums are the grams of weights, of all and of the powders among them.
func sums(list []book.Weight, of func(*book.Weight) float64) (all, powders float64) {
	for i := range list {
		g := of(&list[i])
		all += g
		if list[i].Role == "powder" {
			powders += g
		}
	}
	return all, powders
}

// offPlan tells of weights far from the planned. Where lines were weighed to keep
// the proportions with the first ones, that is told once, and of single lines those
// that did not follow.
func (v *BookWeighed) offPlan() {
	weights, balance := v.weights, v.balance()
	var shares []float64
	for _, w := range weights {
		if w.WeighedG != nil && w.PlannedG > 0 {
			shares = append(shares, *w.WeighedG/w.PlannedG)
		}
	}
	slices.Sort(shares)
	all := 1.0
	if len(shares) > 2 && math.Abs(shares[len(shares)/2]-1) > batch.Slight {
		all = shares[len(shares)/2]
		v.Notes = append(v.Notes, fmt.Sprintf("Most of it is weighed at %.3g %% of the plan, in proportion.", 100*all))
	}
	shade := false
	for _, w := range weights {
		if w.WeighedG != nil && w.PlannedG > 0 && batch.Far(*w.WeighedG, all*w.PlannedG, balance) {
			shade = shade || w.Role == "powder"
			if short := all*w.PlannedG - *w.WeighedG; short > 0 && v.takesMore(w) {
				more := fmt.Sprintf("Weigh %s g more of %s", grams(short, balance), w.Name)
				if len(v.Unweighed) > 0 {
					more += " first"
				}
				v.More = append(v.More, more+".")
			}
			v.Notes = append(v.Notes, fmt.Sprintf("%s: %s g weighed, %s g planned.", w.Name, grams(*w.WeighedG, balance), grams(w.PlannedG, balance)))
		}
	}
	if shade && v.Batch != nil && len(v.Unweighed) == 0 {
		v.Notes = append(v.Notes, "A powder that is off moves the shade: look at it worn; mended by how it looks, it is told what would help.")
	}
}

// leaving finds whether what should change may stay as planned, by what the checks find
// of the batch as it then would be and not of its plan. A preservative is to keep its share.
func (v *BookWeighed) leaving(then []batch.Finding) {
	if len(v.ToCome) == 0 || v.Batch.MadeG != nil { // a finished one is without it
		return
	}
	all, _ := sums(v.Batch.Weights, (*book.Weight).Grams)
	planned, _ := sums(v.Batch.Weights, func(w *book.Weight) float64 { return w.PlannedG })
	for i, w := range v.Batch.Weights[:min(len(v.Batch.Weights), len(v.sheet.Weighings))] {
		if v.sheet.Weighings[i].Has(batch.RolePreservative) && w.Grams()/all < (1-batch.Slight)*w.PlannedG/planned {
			v.against = append(v.against, w.Name)
		}
	}
	for _, f := range then {
		known := func(g batch.Finding) bool { return g.About == f.About && g.Severity == f.Severity }
		if f.Severity != batch.Note && !slices.ContainsFunc(v.sheet.Findings, known) && !slices.Contains(v.against, f.About) {
			v.against = append(v.against, f.About)
		}
	}
	v.mayLeave = len(v.against) == 0
}

// takesMore reports whether more of a line can still go in: not of what is heated once
// something was weighed that goes in after, and of nothing once the finished batch was.
func (v *BookWeighed) takesMore(w book.Weight) bool {
	if v.Batch == nil || v.Batch.MadeG != nil || slices.Contains(v.dropwise(), w.Name) {
		return false
	}
	cooled := false
	phase := func(at book.Weight) batch.Phase {
		if n := int(at.Position); n <= len(v.sheet.Weighings) {
			return v.sheet.Weighings[n-1].Phase
		}
		return ""
	}
	for _, other := range v.weights {
		cooled = cooled || other.WeighedG != nil && phase(other) == batch.PhaseCool
	}
	return !cooled || v.sheet.Kind != batch.Lotion || phase(w) != batch.PhaseWater && phase(w) != batch.PhaseOil
}

// dropwise names what goes in only until the pH is right.
func (v *BookWeighed) dropwise() (names []string) {
	for _, l := range v.sheet.Weighings {
		if l.Has(batch.RolePH) {
			names = append(names, l.Name)
		}
	}
	return names
}

// balance is the step of the balance it is weighed on, g; 0.01 without a sheet.
func (v *BookWeighed) balance() float64 {
	return cmp.Or(v.sheet.BalanceG, 0.01)
}

// toCome says which lines still to weigh should change.
func (v *BookWeighed) toCome() (list []ToComeView) {
	if v.Batch == nil {
		return nil // a correction is weighed on its own
	}
	weights := v.Batch.Weights
	lines, drops := goneIn(weights, nil), v.dropwise()
	for i, l := range lines {
		if slices.Contains(drops, l.Name) || l.PlannedG == 0 { // which goes by the pH, and nothing by it
			lines[i] = batch.Made{}
		}
	}
	for i, now := range batch.ToCome(lines, v.balance()) {
		if now != nil {
			w := weights[i]
			list = append(list, ToComeView{w.Position, w.Name, w.PlannedG, *now})
		}
	}
	return list
}

// wrongLot asks about what is weighed on a day from a lot that is held back, past its
// own or another powder's, and about more than ever came of it. stock is what is left
// with the weights in the book.
func wrongLot(weights []book.Weight, stock []book.LotStock, day string) error {
	for _, w := range weights {
		i := slices.IndexFunc(stock, func(l book.LotStock) bool {
			return l.LotID == w.LotID || w.LotID == 0 && w.Role == "powder" && strings.EqualFold(l.Lot, w.Lot)
		})
		if i < 0 {
			continue
		}
		l := stock[i]
		if w.LotID == 0 {
			return faultf("yes", "weighs %s from lot %s, which is one of %s; nothing is written yet", w.Name, l.Lot, l.PowderName)
		}
		if why := l.NotFor(day); why != "" {
			return faultf("yes", "weighs %s from lot %s, which is %s. Another lot's number is accepted with {lot}; nothing is written yet", w.Name, l.Lot, why)
		}
		if w.WeighedG != nil {
			if err := outSlip(l, *w.WeighedG, l.LeftG+*w.WeighedG); err != nil {
				return err
			}
		}
	}
	return nil
}

// short tells of lots that the weighing emptied, and of powders from none.
func (v *BookWeighed) short(stock []book.LotStock) {
	known := map[string]bool{}
	for _, l := range stock {
		known[fold(l.PowderName)] = true
		if l.LeftG < 0 && slices.ContainsFunc(v.weights, func(w book.Weight) bool { return w.LotID == l.LotID }) {
			v.Notes = append(v.Notes, fmt.Sprintf("Lot %s of %s has %.4g g left, so something was not written down: count what is left.", l.Lot, l.PowderName, l.LeftG))
		}
	}
	for _, w := range v.weights {
		if w.Role == "powder" && w.WeighedG != nil && w.LotID == 0 && known[fold(w.Name)] {
			v.Notes = append(v.Notes, fmt.Sprintf("%s came from no lot the book has, so nothing goes off its stock; say which lot it was.", w.Name))
		}
	}
}
