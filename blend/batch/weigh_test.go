package batch

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"tawny/blend/flake"
	"tawny/blend/palette"
)

// The powders' weights sum to the load and override the rounding when given.
func TestPowderGrams(t *testing.T) {
	req := Request{Base: mustFind(t, "everyday-lotion"), Grams: 250, Parts: []Part{{demoGold(), 4.3}, {demoRed(), 0.7}}}
	b, err := Scale(req)
	if err != nil {
		t.Fatal(err)
	}
	if b.LoadPercent != 5 {
		t.Errorf("load %v, want 5 exactly: 12.5 g of 250", b.LoadPercent)
	}
	req.PowderGrams = []float64{10.9, 1.6}
	if b, err = Scale(req); err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, l := range b.Weighings {
		got[l.Name] = l.Grams
	}
	if got["Demo gold"] != 10.9 || got["Demo iron red"] != 1.6 {
		t.Errorf("powders %v", got)
	}
	for _, bad := range [][]float64{{10.93, 1.6}, {10.9}, {-1, 1}, {math.NaN(), 1}, {300, 1}} {
		req.PowderGrams = bad
		if _, err := Scale(req); err == nil {
			t.Errorf("%v g taken", bad)
		}
	}
}

// Rounding to the balance never takes a preservative or a scent past its
// limit, even where the nearest step would.
func TestRoundingKeepsLimits(t *testing.T) {
	base := baseFrom(t, swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Phenoxyethanol,1,"))
	for _, g := range []float64{57, 60, 66, 78, 99, 160, 255} { // 1 % is 0.57, 0.6 … of 1 g steps
		bal, err := NewBalance(1)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Scale(Request{Base: base, Grams: g, Balance: bal, Scent: &Scent{Percent: 2, MaxPercent: 2}})
		if g < 100 {
			if err == nil || !strings.Contains(err.Error(), "less than one step") {
				t.Errorf("%v g: %v", g, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range b.Weighings {
			if l.Name == "Keeper" && l.Weighed > 1 {
				t.Errorf("%v g: keeper rounded to %v %%", g, l.Weighed)
			}
			if l.Name == "Scent" && l.Weighed > 2 {
				t.Errorf("%v g: scent rounded to %v %%", g, l.Weighed)
			}
		}
	}
}

// N containers of V ml: enough is made for overfill and loss, all N are
// filled, and less than one container is left over.
func TestContainers(t *testing.T) {
	for n := 1; n <= 60; n += 7 {
		for _, ml := range []float64{10, 33.3, 50, 250} {
			req := Request{Base: mustFind(t, "velvet-glow-oil"), Containers: n, ContainerML: ml, OverfillPercent: 1.5, LossPercent: 4, Parts: []Part{{demoGold(), 3}}}
			b, err := Scale(req)
			if err != nil {
				t.Fatal(err)
			}
			f := b.Filling
			for what, v := range map[string][2]float64{
				"ml filled": {f.FillML, ml * 1.015}, "g filled": {f.FillG, f.FillML * b.DensityGML}, "g lost": {f.LossG, b.TotalG * 0.04},
				"g left over": {f.LeftoverG, b.TotalG - f.LossG - float64(n)*f.FillG},
			} {
				if math.Abs(v[0]-v[1]) > 1e-9 {
					t.Errorf("%d × %g ml: %s %v, want %v", n, ml, what, v[0], v[1])
				}
			}
			if f.Filled != n || f.LeftoverG < 0 || f.LeftoverG > 0.2 {
				t.Errorf("%d × %g ml: %+v", n, ml, f)
			}
			want := float64(n) * ml * 1.015 * b.DensityGML / 0.96
			if b.TotalG < want-1e-9 || b.TotalG > want+b.BalanceG {
				t.Errorf("%d × %g ml: %v g, want %v", n, ml, b.TotalG, want)
			}
		}
	}
}

// Containers that hold a whole number of steps take no step more.
func TestContainersOfWholeSteps(t *testing.T) {
	base := mustFind(t, "velvet-glow-oil")
	base.Density = 1
	for _, ml := range []float64{12.3, 50, 100} {
		if b, err := Scale(Request{Base: base, Containers: 3, ContainerML: ml}); err != nil || math.Abs(b.TotalG-3*ml) > 1e-9 || len(b.Notes) != 0 {
			t.Errorf("3 × %g ml: %v g, %v, %q", ml, b.TotalG, err, b.Notes)
		}
	}
}

// How it is filled goes by how stiff it is; what is not said to be is taken to run.
func TestFillingMethod(t *testing.T) {
	for how, want := range map[Consistency]string{"": "funnel", Thin: "lipped jug", Runny: "pour through a funnel", Soft: "syringe", Thick: "piping bag"} {
		base := mustFind(t, "everyday-lotion")
		base.Consistency = how
		b, err := Scale(Request{Base: base, Grams: 100})
		if err != nil || !strings.Contains(b.Filling.Method, want) {
			t.Errorf("%q: %q, %v", how, b.Filling.Method, err)
		}
	}
}

// Volumes add: 4 % of a 3.1 g/ml powder in a 0.94 g/ml oil is
// 1/(0.96/0.94 + 0.04/3.1) g/ml.
func TestDensity(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "velvet-glow-oil"), Grams: 100, Parts: []Part{{demoGold(), 4}}})
	if err != nil {
		t.Fatal(err)
	}
	if want := 1 / (0.96/0.94 + 0.04/3.1); math.Abs(b.DensityGML-want) > 1e-12 {
		t.Errorf("%v, want %v", b.DensityGML, want)
	}
	// A powder whose density is not known is taken as the base.
	p := demoGold()
	p.Density = 0
	if b, err = Scale(Request{Base: mustFind(t, "velvet-glow-oil"), Grams: 100, Parts: []Part{{p, 4}}}); err != nil || math.Abs(b.DensityGML-0.94) > 1e-12 {
		t.Errorf("%v, %v", b.DensityGML, err)
	}
}

// Under 20 steps is flagged, and a powder that small gets a premix whose
// powder and take are at least 20 steps and which brings the asked weight.
func TestSmallWeights(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 200, Parts: []Part{{demoGold(), 4}, {demoRed(), 0.2}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range b.Weighings {
		if (l.Steps < 20) != strings.Contains(l.Note, "of the balance") {
			t.Errorf("%s: %d steps, note %q", l.Name, l.Steps, l.Note)
		}
	}
	if len(b.Premixes) != 1 {
		t.Fatalf("premixes %+v", b.Premixes)
	}
	p := b.Premixes[0]
	if p.Powder != "Demo iron red" || p.PowderG < 20*b.BalanceG || p.TakeG < 20*b.BalanceG {
		t.Errorf("%+v", p)
	}
	// 4 steps want 20 of one part in five; 20 of powder in 80 of carrier make it, and
	// half a step of each is 2.5, 2.5 and 0.625 %.
	if p.Parts != 5 || p.TakeSteps != 20 || p.LessSteps != 16 || p.PowderG != 2 || p.CarrierG != 8 || math.Abs(p.ErrorPct-5.625) > 1e-12 {
		t.Errorf("%+v", p)
	}
	if powder := p.TakeG / float64(p.Parts); math.Abs(powder-0.4) > b.BalanceG/2/float64(p.Parts)+1e-12 {
		t.Errorf("premix brings %v g of 0.4", powder)
	}
	if math.Abs(p.TakeG-p.LessG-p.TakeG/float64(p.Parts)) > b.BalanceG {
		t.Errorf("premix brings %v g of carrier, %v is left out", p.TakeG*(1-1/float64(p.Parts)), p.LessG)
	}
	coarse, err := NewBalance(1)
	if err != nil {
		t.Fatal(err)
	}
	b, err = Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 120, Balance: coarse, Parts: []Part{{demoGold(), 4}, {demoRed(), 0.2}}})
	if err != nil {
		t.Fatal(err)
	}
	if !find(b.Findings, Stop, "should weigh 0.24 g, which a balance of 1 g shows as nothing") {
		t.Errorf("0.24 g on a 1 g balance: %+v", b.Findings)
	}
}

// Where the carrier does not reach for all, the smallest powder has the premix
// and the other says that the batch is too small for one.
func TestPremixForTheSmallestFirst(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 200, Parts: []Part{{demoGold(), 0.4}, {demoRed(), 0.3}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Premixes) != 1 || b.Premixes[0].Powder != "Demo iron red" {
		t.Errorf("premixes %+v", b.Premixes)
	}
	for _, l := range b.Weighings {
		if l.Name == "Demo gold" && !strings.Contains(l.Note, "too small a batch for a premix") {
			t.Errorf("%s: %q", l.Name, l.Note)
		}
	}
}

// Half of a humectant stays in the batch: a premix that wants all the rest has none.
// Of carriers of one weight the first is taken.
func TestPremixLeavesHalf(t *testing.T) {
	for steps, want := range map[int64]int{32: 0, 33: 0, 34: 1, 400: 1} {
		wet := Weighing{Name: "Glycerin", Roles: []Role{RoleHumectant}, Steps: steps}
		b := &Batch{TotalG: 200, BalanceG: 0.1, Weighings: []Weighing{wet, {Name: "Propanediol", Roles: wet.Roles, Steps: steps}, {Name: "Red", Powder: true, Percent: 0.2, Steps: 4}}}
		got := premixes(b) // 20 steps of one in five, 16 of them carrier
		if len(got) != want || want == 1 && got[0].Carrier != "Glycerin" {
			t.Errorf("%d steps of carrier: %+v", steps, got)
		}
		if said := b.Weighings[2].Note != ""; said != (want == 0) {
			t.Errorf("%d steps of carrier: note %q", steps, b.Weighings[2].Note)
		}
	}
}

// From the size of batch that a small weight's note names it is small no more.
func TestFineFromIsEnough(t *testing.T) {
	req := Request{Base: mustFind(t, "everyday-lotion"), Grams: 30}
	b, err := Scale(req)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for i, l := range b.Weighings {
		_, from, ok := strings.Cut(l.Note, "fine from a batch of ")
		if !ok {
			continue
		}
		told++
		if req.Grams, err = strconv.ParseFloat(strings.TrimSuffix(from, " g"), 64); err != nil {
			t.Fatal(err)
		}
		enough, err := Scale(req)
		if err != nil {
			t.Fatal(err)
		}
		req.Grams *= 0.85 // less than by rounding the size up to two digits
		few, err := Scale(req)
		if err != nil {
			t.Fatal(err)
		}
		if enough.Weighings[i].Steps < minSteps || few.Weighings[i].Steps >= minSteps {
			t.Errorf("%s: %q; %d steps then, %d of a smaller batch", l.Name, l.Note, enough.Weighings[i].Steps, few.Weighings[i].Steps)
		}
	}
	if told == 0 {
		t.Error("nothing is small in 30 g")
	}
}

func TestNewBalance(t *testing.T) {
	for _, ok := range []float64{1, 0.1, 0.01, 0.001, 0.0001, 5, 2, 0.5, 0.02} {
		b, err := NewBalance(ok)
		if err != nil || b.StepG() != ok {
			t.Errorf("%v: %v, %v", ok, b.StepG(), err)
		}
	}
	for _, bad := range []float64{0, -0.1, 0.3, 10, 1e-6, math.NaN(), math.Inf(1)} {
		if _, err := NewBalance(bad); err == nil {
			t.Errorf("%v taken", bad)
		}
	}
	if b := (Balance{}); b.StepG() != 0.1 || b.Format(123) != "12.3" {
		t.Errorf("zero balance: %v, %s", b.StepG(), b.Format(123))
	}
}

// Requests that mean nothing are one clear error.
func TestScaleRefuses(t *testing.T) {
	good := func() Request {
		return Request{Base: mustFind(t, "silk-body-oil"), Grams: 100, Parts: []Part{{demoGold(), 3}}}
	}
	cases := map[string]func(*Request){
		"no batch size":      func(r *Request) { r.Grams = 0 },
		"both grams and":     func(r *Request) { r.Containers, r.ContainerML = 2, 50 },
		"accepted: over 0":   func(r *Request) { r.Grams = -3 },
		"NaN g":              func(r *Request) { r.Grams = math.NaN() },
		"+Inf g":             func(r *Request) { r.Grams = math.Inf(1) },
		"at least one":       func(r *Request) { r.Grams, r.Containers, r.ContainerML = 0, -1, 50 },
		"no base given":      func(r *Request) { r.Base = Base{} },
		"has no powder":      func(r *Request) { r.Parts[0].Pigment = nil },
		"twice":              func(r *Request) { r.Parts = append(r.Parts, r.Parts[0]) },
		"under 100":          func(r *Request) { r.Parts[0].Percent = 120 },
		"NaN %":              func(r *Request) { r.Parts[0].Percent = math.NaN() },
		"cannot give way":    func(r *Request) { r.Parts[0].Percent = 60 },
		"nearest is":         func(r *Request) { r.Filler = "Jojobas" },
		"the loss is":        func(r *Request) { r.LossPercent = 90 },
		"the overfill is":    func(r *Request) { r.OverfillPercent = -1 },
		"over 0 up to 20":    func(r *Request) { r.Scent = &Scent{Percent: 40} },
		"1 to 10000000000":   func(r *Request) { r.Grams = 1e15 },
		"ingredients sum to": func(r *Request) { r.Base.Ingredients = r.Base.Ingredients[1:] },
	}
	for want, spoil := range cases {
		r := good()
		spoil(&r)
		if _, err := Scale(r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := Scale(good()); err != nil {
		t.Error(err)
	}
}

// What is just allowed is scaled, and what is just not is refused by name.
func TestScaleAtTheLimits(t *testing.T) {
	good := func() Request {
		return Request{Base: mustFind(t, "silk-body-oil"), Grams: 100, Parts: []Part{{demoGold(), 3}}}
	}
	small := func(r *Request) {
		r.Base.Ingredients = []Ingredient{{Phase: PhaseOil, Name: "Oil", Percent: 99.95}, {Phase: PhaseOil, Name: "Ester", Percent: 0.05}}
	}
	for name, change := range map[string]func(*Request){
		"overfill 50": func(r *Request) { r.OverfillPercent = 50 },
		"loss 50":     func(r *Request) { r.LossPercent = 50 },
		"nozzle 5000": func(r *Request) { r.NozzleUM = 5000 },
		"one step": func(r *Request) {
			r.Balance, r.Grams, r.Parts = Balance{1, 0}, 1, nil
			r.Base = mustFind(t, "bought-white-lotion")
		},
		"one container":   func(r *Request) { r.Grams, r.Containers, r.ContainerML = 0, 1, 50 },
		"a trace":         small,
		"weights at zero": func(r *Request) { r.PowderGrams = []float64{0} },
		"no weights":      func(r *Request) { r.Parts, r.PowderGrams = nil, []float64{} },
	} {
		r := good()
		change(&r)
		if _, err := Scale(r); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for want, spoil := range map[string]func(*Request){
		"the overfill is 50.1":    func(r *Request) { r.OverfillPercent = 50.1 },
		"the loss is -0.1":        func(r *Request) { r.LossPercent = -0.1 },
		"the nozzle is 5001":      func(r *Request) { r.NozzleUM = 5001 },
		"powder Demo gold is 0 %": func(r *Request) { r.Parts[0].Percent = 0 },
		"Demo gold is 100 %":      func(r *Request) { r.Parts[0].Percent = 100 },
		"the density is 0 g/ml":   func(r *Request) { r.Base.Density = 0 },
		"Ester is 0 %":            func(r *Request) { small(r); r.Base.Ingredients[0].Percent, r.Base.Ingredients[1].Percent = 100, 0 },
		"sum to 100.2 %":          func(r *Request) { small(r); r.Base.Ingredients[1].Percent = 0.25 },
		"2 weights for 1 powders": func(r *Request) { r.PowderGrams = []float64{1, 2} },
		"0 containers of 50 ml":   func(r *Request) { r.Grams, r.ContainerML = 0, 50 },
		"3 containers of 0 ml":    func(r *Request) { r.Grams, r.Containers = 0, 3 },
		"a batch of 0 steps":      func(r *Request) { r.Grams = 0.04 },
		"nothing is left of": func(r *Request) {
			allGive(r)
			r.Parts[0].Percent, r.Scent = 80, &Scent{Percent: 20}
		},
		"left for the base": func(r *Request) { r.PowderGrams = []float64{100} },
		"cannot give way to 50 %": func(r *Request) {
			small(r)
			r.Base.Ingredients[0].Percent = 50
			r.Base.Ingredients[1].Percent = 50
			r.Filler = "Oil"
			r.Parts[0].Percent = 50
		},
		"cannot give way to these": func(r *Request) { r.PowderGrams = []float64{90} },
	} {
		r := good()
		spoil(&r)
		if _, err := Scale(r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

// Only a base without a filler says that all of it gives way, and so much of it.
func TestWhoGivesWayIsTold(t *testing.T) {
	for name, all := range map[string]bool{"bought-white-lotion": false, "silk-body-oil": true} {
		r := Request{Base: mustFind(t, name), Grams: 100, Parts: []Part{{demoGold(), 3}}}
		if all {
			allGive(&r)
		}
		b, err := Scale(r)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(strings.Join(b.Notes, " "), "names no filler, so all its ingredients give way together and its preservative is diluted to 97 %") != all {
			t.Errorf("%s: %q", name, b.Notes)
		}
		if oil := b.Weighings[0].Percent; all && math.Abs(oil-0.97*r.Base.Ingredients[0].Percent) > 1e-9 {
			t.Errorf("%s of %g %% is %g %% beside 3 %%", b.Weighings[0].Name, r.Base.Ingredients[0].Percent, oil)
		}
	}
}

// allGive makes a base whose ingredients give way together.
func allGive(r *Request) {
	for i := range r.Base.Ingredients {
		r.Base.Ingredients[i].Roles = nil
	}
	r.Base.Filler = ""
}

// Where a powder's oil absorption is not given, a flake's is assumed of any flake,
// coated or not, and an oxide's of the rest.
func TestAssumedOil(t *testing.T) {
	for _, c := range []struct {
		p       palette.Pigment
		want    float64
		assumed bool
	}{
		{palette.Pigment{OilAbsorption: 42}, 42, false},
		{palette.Pigment{}, 30, true},
		{palette.Pigment{Substrate: 400}, 75, true},
		{palette.Pigment{Layers: []flake.Layer{{Material: "rutile", ThicknessNM: 60}}}, 75, true},
		{palette.Pigment{Optics: palette.Optics{Flake: true}}, 75, true},
	} {
		if oa, assumed := oilAbsorption(&c.p); oa != c.want || assumed != c.assumed {
			t.Errorf("%+v: %g, assumed %v", c.p, oa, assumed)
		}
	}
}

// A named filler gives way instead of the base's own; wetting oil is raised
// by the powder's oil absorption, 5 % × 80/100 × 1.5 = 6 %.
func TestFillerAndWetting(t *testing.T) {
	base := mustFind(t, "silk-body-oil")
	b, err := Scale(Request{Base: base, Grams: 1000, Parts: []Part{{demoGold(), 5}}, Filler: "Coco-caprylate"})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range b.Weighings {
		if l.Name == "Coco-caprylate" && l.Percent != 15 {
			t.Errorf("filler %v %%", l.Percent)
		}
		if l.Name == "Castor oil" && l.Percent != 10 {
			t.Errorf("castor %v %%: 10 covers the 6 needed", l.Percent)
		}
	}
	b, err = Scale(Request{Base: base, Grams: 1000, Parts: []Part{{demoGold(), 10}}})
	if err != nil {
		t.Fatal(err)
	}
	if f := b.Powders[0]; math.Abs(f.SlurryOilG-120) > 1e-9 || math.Abs(f.PasteOilG-80) > 1e-9 {
		t.Errorf("100 g at 80 g/100 g: %+v", f)
	}
	for _, l := range b.Weighings {
		if l.Name == "Castor oil" && math.Abs(l.Percent-12) > 1e-9 {
			t.Errorf("castor %v %%, want 12", l.Percent)
		}
	}
}
