package batch

import (
	"slices"
	"strings"
	"unicode"

	"tawny/blend/palette"
)

// Batch is a finished calculation: all a sheet shows, in full precision.
type Batch struct {
	Title string `json:"title"`
	Code  string `json:"code,omitempty"`
	Date  string `json:"date,omitempty"`
	Look  *Look  `json:"look,omitempty"`

	Base        string       `json:"base"`
	Kind        Kind         `json:"kind"`
	BaseNote    string       `json:"baseNote,omitempty"`
	Area        palette.Area `json:"area"`
	BalanceG    float64      `json:"balanceG"`    // readability, g
	TotalSteps  int64        `json:"totalSteps"`  // balance steps
	TotalG      float64      `json:"totalG"`      // g, exactly the sum of the weighings
	LoadPercent float64      `json:"loadPercent"` // all colourants, % w/w of the finished product, as weighed
	AskedLoad   float64      `json:"askedLoadPercent"`
	DensityGML  float64      `json:"densityGMl"` // finished product
	BestBefore  *BestBefore  `json:"bestBefore,omitempty"`

	Weighings []Weighing `json:"weighings"`
	Premixes  []Premix   `json:"premixes,omitempty"`
	Steps     []Step     `json:"steps"`
	Vessels   []Vessel   `json:"vessels"`
	Filling   Filling    `json:"filling"`
	TopUp     *TopUp     `json:"topUp,omitempty"`

	Powders    []PowderFact   `json:"powders,omitempty"`
	Suspension *Suspension    `json:"suspension,omitempty"`
	Label      *Label         `json:"label"`
	Cost       *Cost          `json:"cost,omitempty"` // after AddCost
	Log        []StabilityRow `json:"stabilityLog"`

	Findings []Finding `json:"findings,omitempty"`
	Cautions []Caution `json:"cautions"`
	Notes    []string  `json:"notes,omitempty"`
	AsMade   []string  `json:"asMade,omitempty"` // what the book has of its making, where that is not the plan
}

// Weighing is one line of the sheet's table.
type Weighing struct {
	Phase     Phase    `json:"phase"`
	Name      string   `json:"name"`
	INCI      string   `json:"inci"`
	Percent   float64  `json:"percent"`            // asked, % w/w of the finished product
	Steps     int64    `json:"steps"`              // balance steps
	Grams     float64  `json:"grams"`              // Steps × readability
	WeighG    float64  `json:"weighG"`             // what goes on the balance: the premix of a powder that has one, of its carrier the rest
	Weighed   float64  `json:"weighedPercent"`     // % w/w of the batch after rounding
	WeighedG  *float64 `json:"weighedG,omitempty"` // what the book has as put in, g; nil for nothing yet
	Roles     []Role   `json:"roles,omitempty"`
	AddBelowC float64  `json:"addBelowC,omitempty"`
	Lot       string   `json:"lot,omitempty"`
	Powder    bool     `json:"powder,omitempty"`
	Filler    bool     `json:"filler,omitempty"`
	Note      string   `json:"note,omitempty"`

	usual   Range
	usualOf Of
	hlb     float64
	pigment *palette.Pigment
	subs    []palette.Ingredient
	most    float64 // limit on its own certificate, % of the finished product; 0: none
}

// Water names the largest line of water of a lotion, which is what dries off while it is
// made and is stirred in after; "" where there is none.
func (b *Batch) Water() (name string) {
	most := 0.0
	for _, l := range b.Weighings {
		if b.Kind == Lotion && l.Grams > most && watery(l.INCI) {
			name, most = l.Name, l.Grams
		}
	}
	return name
}

// Has reports whether what is weighed has the role.
func (l Weighing) Has(r Role) bool { return slices.Contains(l.Roles, r) }

// ForNobody takes out of a batch what tells of whom it was made for: its title, the skin
// it was predicted on with the shade wanted there, and whatever was written at the bench
// in words. Recipe, weights, lots, steps, labels, numbers and times stay.
func (b *Batch) ForNobody() {
	var powders []string
	for _, w := range b.Weighings {
		if w.Powder {
			powders = append(powders, w.Name)
		}
	}
	b.Title = strings.Join(powders, ", ")
	if b.Look != nil {
		b.Look = &Look{ApplyMgCm2: b.Look.ApplyMgCm2}
	}
	for i := range b.Steps {
		for j, r := range b.Steps[i].Readings {
			if strings.ContainsFunc(r.Value, unicode.IsLetter) && !slices.Contains([]string{"yes", "no", "ok"}, strings.ToLower(r.Value)) {
				b.Steps[i].Readings[j].Value = ""
			}
		}
	}
}

// Format writes a weight of so many steps with the balance's digits.
func (b *Batch) Format(steps int64) string { return b.balance().Format(steps) }

// balance is what it is weighed on.
func (b *Batch) balance() Balance {
	bal, _ := NewBalance(b.BalanceG) // a step that no balance has is read as 0.1 g
	return bal
}
