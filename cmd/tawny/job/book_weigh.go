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
it should be by now, has its digits in another order or is of a lot that is held back
is written with --yes alone, and so is a finished batch of more than went into it.

What the sheet has a blank for is written with --reading and taken back with 'pH=none';
what is outside what its step asks, or what follows from the pots, is written with
--yes alone. A pH counts on
the batch's labels, and from the pot empty and full follows what the batch weighs.`,
	Example: `  tawny book weigh 3 'pale gold=2.97' bronze=0.98
  tawny book weigh 3 'pale gold=2.97' --as-planned --made 98.6
  tawny book weigh 3 --lot 'pale gold=G-0245' --on 2026-05-31
  tawny book weigh 3 --reading pH=5.1 --reading '8 temperature=38'
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
			_, made, _, err := env.batchAsMade(ctx, q.BatchText, Input{})
			if err != nil { // the weights are written all the same
				v.Notes = append(v.Notes, fmt.Sprintf("Whether what was weighed is within its limits could not be checked: %v.", err))
				return v, nil
			}
			v.leaving(made.Findings)
			v.Notes = append(v.Notes, toMend(made.Findings)...)
			return v, nil
		}, words(
			Field{Name: "batch", Words: "a batch's number in the book is accepted; 'tawny book list batches' shows them", Arg: true, Maybe: true, Lists: "batch", To: &q.BatchText},
			Field{Name: "weight", Words: "what the balance showed: name=grams, or name=none", Arg: true, Maybe: true, Rest: true, Lists: "weight", To: &q.Weights},
		), Group{Title: "Weights", Fields: []Field{
			{Name: "correction", Words: "weigh what a correction adds, instead of a batch", Low: 1, To: &q.Correction},
			{Name: "lot", Words: "the lot it was weighed from, where not the one planned: 'pale gold=G-0245'; repeatable", To: &q.Lots},
			{Name: "reading", Words: "what was read for a blank of the sheet: 'pH=5.4', with its step first where several ask it: '9 temperature=38'; repeatable", To: &q.Readings},
			{Name: "was", Words: "what a line, by its number, or a blank is thought to have: 3=17.3, pH=none; another value is written over with --yes alone; repeatable", To: &q.Was},
			{Name: "as-planned", Words: "whatever is not named was weighed as planned", To: &q.AsPlanned},
			{Name: "on", Words: "the day (default today)", To: &q.On},
			{Name: "yes", Words: "write what looks like a slip", To: &q.Yes},
			{Name: "made", Words: "what the finished batch weighed, in grams", Unit: "g", High: 1e6, Above: true, To: &q.MadeG},
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
	}
	if len(v.Unweighed) > 0 {
		s.line("")
		s.fold("", fmt.Sprintf("Still to weigh: %s.", strings.Join(v.Unweighed, ", ")))
	} else if v.Batch != nil {
		s.line("")
		s.line("%s g in all; the powders are %.2f %% of it.", show(v.SumG), v.Load)
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
		planned, now := v.Batch.LoadPercent, v.asPlannedLoad()
		s.fold("", fmt.Sprintf("Or leave what is still to weigh as planned: the powders are then %.2f %% of the batch, not %.2f %%.", now, planned))
	}
	s.paragraphs(v.Notes)
}

// BookWeigh is what the balance showed for a batch or a correction.
type BookWeigh struct {
	BatchText  string // its number in the book
	Batch      int64
	Correction int64    // instead of Batch
	Weights    []string // "name=grams", or "number=grams" by the place in the list
	Readings   []string // "blank=what was read", or "step blank=what was read"
	Was        []string // "number=grams", "number=none", "blank=what was read": what they are thought to have
	Lots       []string // "name=lot": the bag it came from, where not the one planned
	AsPlanned  bool     // what is not named was weighed as planned
	On         string   // day; default today
	MadeG      float64  // what the finished batch weighed; 0 where not known yet
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
	SumG       float64          `json:"sumG"`        // of what was weighed
	Load       float64          `json:"loadPercent"` // of powders in it; 0 while something is unweighed

	sheet    batch.Batch // of Batch, as its document has it
	mayLeave bool        // what is to come as planned, all the same
	against  []string    // or what is against it
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
	if q.BatchText != "" {
		if q.Batch, err = RecordID("batch", q.BatchText); err != nil {
			return nil, err
		}
	}
	if (q.Batch == 0) == (q.Correction == 0) {
		return nil, inputf("which batch or correction? one is accepted")
	}
	lots, err := namedLots(q.Lots)
	if err != nil {
		return nil, err
	}
	err = k.read(ctx, together(ctx, func(b *book.Book) error {
		was, planned, err := q.read(ctx, b)
		if err != nil {
			return err
		}
		weighings, err := q.weighings(planned, was, lots)
		if err != nil {
			return err
		}
		inG := goneIn(planned, weighings)
		sheet, says, err := q.bench(was.Batch, inG)
		if err != nil {
			return err
		}
		kind, id, before, has := book.Batches, q.Batch, 0.0, (*float64)(nil)
		if q.Correction != 0 {
			kind, id, before = book.Corrections, q.Correction, was.Correction.BeforeG
		} else {
			has = was.Batch.MadeG
		}
		if !q.Yes && (has == nil || *has != q.MadeG) {
			if err := madeSlip(q.MadeG, before, inG, was.balance()); err != nil {
				return err
			}
		}
		if err := b.Weigh(ctx, kind, id, q.On, notGiven(q.MadeG), sheet, weighings); err != nil {
			return err
		}
		if v, err = q.weighed(ctx, b); err != nil {
			return err
		}
		v.Notes = append(says, v.Notes...)
		return q.wrongLot(ctx, b, weighings)
	}))
	return v, err
}

// read is the batch or the correction as the book has it, and its weights.
func (q *BookWeigh) read(ctx context.Context, b *book.Book) (*BookWeighed, []book.Weight, error) {
	if q.Correction != 0 {
		c, err := book.Get[book.Correction](ctx, b, q.Correction)
		return &BookWeighed{Correction: &c}, c.Weights, err
	}
	batch, err := book.Get[book.Batch](ctx, b, q.Batch)
	return &BookWeighed{Batch: &batch, sheet: sheetIn(batch.Document)}, batch.Weights, err
}

// weighings matches what was written to the list of what is to be weighed.
func (q *BookWeigh) weighings(planned []book.Weight, was *BookWeighed, lots map[string]string) ([]book.Weighing, error) {
	weighed, undone := map[int64]float64{}, map[int64]bool{}
	due, balance, drops := map[int64]float64{}, was.balance(), was.dropwise()
	for _, l := range was.toCome(planned) {
		due[l.Position] = l.NowG
	}
	for _, item := range q.Weights {
		if name, none := strings.CutSuffix(item, "=none"); none {
			w, err := pickWeight(planned, name)
			if err != nil {
				return nil, err
			}
			if err := q.meanwhile(trimNumber(float64(w.Position)), w.Name, weighedWords(w), "no", " g"); err != nil {
				return nil, err
			}
			undone[w.Position] = true
			continue
		}
		name, g, err := amount(item, inGrams)
		if err != nil {
			return nil, err
		}
		w, err := pickWeight(planned, name)
		if err != nil {
			return nil, err
		}
		if _, twice := weighed[w.Position]; twice {
			return nil, inputf("%s is weighed twice; one weight is accepted, their sum if it took two goes", w.Name)
		}
		if err := q.meanwhile(trimNumber(float64(w.Position)), w.Name, weighedWords(w), trimNumber(g), " g"); err != nil {
			return nil, err
		}
		asNeeded := slices.Contains(drops, w.Name) && g < w.PlannedG
		if why := slip(w, due[w.Position], g, balance); why != "" && !q.Yes && !asNeeded {
			return nil, faultf("yes", "writes %s g of %s where %s g is planned%s; nothing is written yet", grams(g, balance), w.Name, grams(w.PlannedG, balance), why)
		}
		weighed[w.Position] = g
	}
	of := map[int64]string{}
	for name, lot := range lots {
		w, err := pickWeight(planned, name)
		if err != nil {
			return nil, err
		}
		of[w.Position] = lot
	}
	var list []book.Weighing
	for _, w := range planned {
		g, given := weighed[w.Position]
		switch {
		case given, undone[w.Position]:
		case q.AsPlanned && w.WeighedG == nil:
			g = w.PlannedG
		case of[w.Position] != "" && w.WeighedG != nil:
			g = *w.WeighedG // only its lot is put right
		case of[w.Position] != "":
			return nil, inputf("%s has a lot but no weight; name=grams or {as-planned} says how much", w.Name)
		default:
			continue
		}
		list = append(list, book.Weighing{Position: w.Position, WeighedG: g, Undone: undone[w.Position], Lot: of[w.Position]})
	}
	if len(list) == 0 && q.MadeG == 0 && q.On == "" && len(q.Readings) == 0 {
		return nil, inputf("nothing was weighed; name=grams is accepted for %s, or {as-planned}", strings.Join(weightNames(planned), ", "))
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

// weighedWords are the grams of a line, "" where it was not weighed yet.
func weighedWords(w book.Weight) string {
	if w.WeighedG == nil {
		return ""
	}
	return trimNumber(*w.WeighedG)
}

// pickWeight finds a line by name or by its number.
func pickWeight(list []book.Weight, name string) (book.Weight, error) {
	var found []book.Weight
	var base []book.Weight // by its part in it, as a mending prints it
	for _, w := range list {
		if strings.EqualFold(w.Name, name) {
			found = append(found, w)
		}
		if w.Role == "base" && strings.EqualFold(name, "base") {
			base = append(base, w)
		}
	}
	if len(found) == 0 && len(base) == 1 {
		found = base
	}
	if n, err := strconv.Atoi(name); err == nil && len(found) == 0 && n >= 1 && n <= len(list) {
		return list[n-1], nil
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		if len(list) == 0 {
			return book.Weight{}, inputf("no weights are planned for it")
		}
		names := weightNames(list)
		return book.Weight{}, inputf("%q is not in it; the nearest is %q, and there are %s", name, colour.Nearest(name, names), strings.Join(names, ", "))
	}
	var at []string
	for _, w := range found {
		at = append(at, fmt.Sprintf("%d (%.4g g)", w.Position, w.PlannedG))
	}
	return book.Weight{}, inputf("%s is in it %d times; name it by its number: %s", found[0].Name, len(found), strings.Join(at, ", "))
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

// weighed is what the book now says.
func (q *BookWeigh) weighed(ctx context.Context, b *book.Book) (*BookWeighed, error) {
	v, weights, err := q.read(ctx, b)
	if err != nil {
		return nil, err
	}
	powders := 0.0
	v.Unweighed = unweighed(weights)
	for _, w := range weights {
		if w.WeighedG == nil {
			continue
		}
		v.SumG += *w.WeighedG
		if w.Role == "powder" {
			powders += *w.WeighedG
		}
	}
	v.offPlan(weights, v.balance())
	v.ToCome = v.toCome(weights)
	v.SumG = math.Round(v.SumG*1e6) / 1e6
	if len(v.Unweighed) == 0 && v.SumG > 0 {
		v.Load = 100 * powders / v.SumG
	}
	return v, q.short(ctx, b, weights, v)
}

// offPlan tells of weights far from the planned. Where lines were weighed to keep
// the proportions with the first ones, that is told once, and of single lines those
// that did not follow.
func (v *BookWeighed) offPlan(weights []book.Weight, balance float64) {
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
		if w.WeighedG != nil && batch.Far(*w.WeighedG, all*w.PlannedG, balance) {
			shade = shade || w.Role == "powder"
			if short := all*w.PlannedG - *w.WeighedG; short > 0 && v.takesMore(w, weights) {
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
	if len(v.ToCome) == 0 {
		return
	}
	all, planned := 0.0, 0.0
	for _, w := range v.Batch.Weights {
		all, planned = all+w.Grams(), planned+w.PlannedG
	}
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
func (v *BookWeighed) takesMore(w book.Weight, weights []book.Weight) bool {
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
	for _, other := range weights {
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

// asPlannedLoad is what the powders come to, % w/w, if the rest is weighed as planned.
func (v *BookWeighed) asPlannedLoad() float64 {
	powders, all := 0.0, 0.0
	for _, w := range v.Batch.Weights {
		all += w.Grams()
		if w.Role == "powder" {
			powders += w.Grams()
		}
	}
	return 100 * powders / all
}

// balance is the step of the balance it is weighed on, g; 0.01 without a sheet.
func (v *BookWeighed) balance() float64 {
	return cmp.Or(v.sheet.BalanceG, 0.01)
}

// toCome says which lines still to weigh should change.
func (v *BookWeighed) toCome(weights []book.Weight) (list []ToComeView) {
	if v.Batch == nil {
		return nil // a correction is weighed on its own
	}
	lines, drops := make([]batch.Made, len(weights)), v.dropwise()
	for i, w := range weights {
		if !slices.Contains(drops, w.Name) { // which goes by the pH, and nothing by it
			lines[i] = batch.Made{PlannedG: w.PlannedG, WeighedG: w.WeighedG, Powder: w.Role == "powder"}
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

// wrongLot asks about what is weighed from a lot that is held back, and about more than
// ever came of it.
func (q *BookWeigh) wrongLot(ctx context.Context, b *book.Book, now []book.Weighing) error {
	_, weights, err := q.read(ctx, b)
	if err != nil || q.Yes {
		return err
	}
	stock, err := b.Stock(ctx)
	for _, w := range weights {
		for _, l := range stock {
			if w.LotID == l.LotID && w.WeighedG != nil && slices.ContainsFunc(now, func(g book.Weighing) bool { return g.Position == w.Position }) {
				if l.Held != "" {
					return faultf("yes", "weighs %s from lot %s, which is held back: %s. Another lot's number is accepted with {lot}; nothing is written yet", w.Name, l.Lot, l.Held)
				}
				if err := outSlip(l, *w.WeighedG, l.LeftG+*w.WeighedG); err != nil {
					return err
				}
			}
		}
	}
	return err
}

// short tells of lots that the weighing emptied, and of powders from none.
func (q *BookWeigh) short(ctx context.Context, b *book.Book, weights []book.Weight, v *BookWeighed) error {
	stock, err := b.Stock(ctx)
	if err != nil {
		return err
	}
	lots := map[string]int{}
	for _, l := range stock {
		lots[fold(l.PowderName)]++
		used := slices.ContainsFunc(weights, func(w book.Weight) bool { return w.LotID == l.LotID })
		if used && l.LeftG < 0 {
			v.Notes = append(v.Notes, fmt.Sprintf("Lot %s of %s has %.4g g left, so something was not written down: count what is left.", l.Lot, l.PowderName, l.LeftG))
		}
	}
	for _, w := range weights {
		if w.Role == "powder" && w.WeighedG != nil && w.LotID == 0 && lots[fold(w.Name)] > 0 {
			v.Notes = append(v.Notes, fmt.Sprintf("%s came from no lot the book has, so nothing goes off its stock; say which lot it was.", w.Name))
		}
	}
	return nil
}
