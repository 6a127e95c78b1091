package batch

// Step is one thing to do, with its weights in place.
type Step struct {
	Number   int          `json:"number"`
	Title    string       `json:"title"`
	Do       []string     `json:"do"` // sentences, in order
	TempC    Range        `json:"tempC"`
	Minutes  Range        `json:"minutes"`
	Weights  []StepWeight `json:"weights,omitempty"`
	Readings []Reading    `json:"readings,omitempty"` // to write down
	Cautions []string     `json:"cautions,omitempty"`
}

// StepWeight is what goes in at a step: a whole weighing, or a part of one
// that is kept back for a later step. Over all steps a weighing's parts sum
// to it exactly, except where a premix goes in instead of a powder: that is
// more than the powder and there is as much less of its carrier. The steps
// together sum to the batch exactly.
type StepWeight struct {
	Line  int     `json:"line"` // index into Weighings
	Name  string  `json:"name"`
	Steps int64   `json:"steps"`
	Grams float64 `json:"grams"`
	Part  string  `json:"part,omitempty"` // "kept back", "rinse" …; empty for all of it
	// Premix is true where Name is the premix of the line's powder.
	Premix bool `json:"premix,omitempty"`
}

// Reading is a blank to fill in at the bench.
type Reading struct {
	What string `json:"what"`
	Unit string `json:"unit,omitempty"`
}

// work builds the steps of one batch and keeps account of what has gone in.
type work struct {
	req   *Request
	b     *Batch
	steps []Step
}

// workSteps generates the steps in working order from base and weights.
func workSteps(req *Request, b *Batch) []Step {
	w := &work{req: req, b: b}
	switch b.Kind {
	case Lotion:
		w.lotion()
	case Ready:
		w.ready()
	default:
		w.oil()
	}
	for i := range w.steps {
		w.steps[i].Number = i + 1
	}
	return w.steps
}

func (w *work) add(s Step) { w.steps = append(w.steps, s) }

// amount is what is weighed of a line, in balance steps: of a carrier what its
// premixes do not bring, of a premixed powder the premix.
func (w *work) amount(line int) int64 {
	if p := w.b.premixOf(line); p != nil {
		return p.take
	}
	return w.b.Weighings[line].Steps - w.b.brought(line)
}

// all is the whole of each given line that weighs anything.
func (w *work) all(lines []int) []StepWeight {
	var out []StepWeight
	for _, i := range lines {
		n := w.amount(i)
		if n == 0 {
			continue
		}
		sw := StepWeight{Line: i, Name: w.b.Weighings[i].Name, Steps: n, Grams: w.b.balance.Grams(n)}
		if p := w.b.premixOf(i); p != nil {
			sw.Name, sw.Premix = p.Name(), true
		} else if w.b.brought(i) > 0 {
			sw.Part = "the rest is in the premix"
		}
		out = append(out, sw)
	}
	return out
}

// part is some of a line.
func (w *work) part(line int, steps int64, what string) []StepWeight {
	if steps <= 0 {
		return nil
	}
	return []StepWeight{{Line: line, Name: w.b.Weighings[line].Name, Steps: steps, Grams: w.b.balance.Grams(steps), Part: what}}
}

// phase lists the lines of a phase, those of falling add-below temperature
// first; what adjusts pH goes last, since everything before it moves the pH.
func (w *work) phase(p Phase) []int {
	var out []int
	for i, l := range w.b.Weighings {
		if l.Phase == p {
			out = append(out, i)
		}
	}
	if p == PhaseCool {
		sortCool(w.b.Weighings, out)
	}
	return out
}

// sum is what is weighed of some lines, in balance steps.
func (w *work) sum(lines []int) int64 {
	s := int64(0)
	for _, i := range lines {
		s += w.amount(i)
	}
	return s
}
