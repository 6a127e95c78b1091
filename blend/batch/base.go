package batch

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

// Kind is the way a base is made up, which decides the order of work.
type Kind string

// The kinds of base.
const (
	Lotion Kind = "lotion" // water and oil phases heated apart and combined
	Oil    Kind = "oil"    // no water; powder wetted to a slurry and thinned
	Mist   Kind = "mist"   // an oil thin enough for a fine spray
	Spray  Kind = "spray"  // water or alcohol for a spray, shaken before use
	Ready  Kind = "ready"  // bought ready made, label order, no percentages
)

// Kinds lists the accepted kinds.
var Kinds = []Kind{Lotion, Oil, Mist, Spray, Ready}

// Sprayed reports whether the product may be breathed.
func (k Kind) Sprayed() bool { return k == Mist || k == Spray }

// Consistency is how a finished base leaves a jug, and so how it is filled.
type Consistency string

// From thinnest to thickest.
const (
	Thin  Consistency = "thin"  // runs like water or a light oil
	Runny Consistency = "runny" // pours freely, a milk or a rich oil
	Soft  Consistency = "soft"  // a lotion: flows when pushed
	Thick Consistency = "thick" // a cream: holds its shape
)

// pours reports whether the base flows from a jug by itself.
func (b *Base) pours() bool { return b.Consistency != Soft && b.Consistency != Thick }

// Consistencies lists the accepted words.
var Consistencies = []Consistency{Thin, Runny, Soft, Thick}

// Range is a closed interval; its zero value means not stated.
type Range struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Stated reports whether the range was given.
func (r Range) Stated() bool { return r != Range{} }

// Base is a lotion, cream or oil without its powders.
type Base struct {
	Name          string         `json:"name"`
	Kind          Kind           `json:"kind"`
	Note          string         `json:"note,omitempty"`
	Source        string         `json:"source,omitempty"`       // where the recipe comes from, such as demo
	Density       float64        `json:"densityGMl"`             // g/ml at room temperature
	Viscosity     float64        `json:"viscosityPaS,omitempty"` // Pa·s at room temperature, slow flow
	YieldStress   float64        `json:"yieldStressPa,omitempty"`
	Refraction    float64        `json:"refractiveIndex,omitempty"` // of what stays on skin
	Consistency   Consistency    `json:"consistency"`
	PH            Range          `json:"ph"`                      // of the finished product, where there is water
	HeatC         Range          `json:"heatC"`                   // °C both phases are brought to; zero is a cold process
	HoldMinutes   float64        `json:"holdMinutes,omitempty"`   // held hot and covered
	CoolC         float64        `json:"coolC,omitempty"`         // °C below which the cool-down items go in
	WarmMaxC      float64        `json:"warmMaxC,omitempty"`      // ready made: never hotter
	MaxAddPercent float64        `json:"maxAddPercent,omitempty"` // ready made: the most one may add, % of the finished product
	KeepMonths    int            `json:"keepMonths,omitempty"`    // closed, from the day it is made; 0 not known
	Filler        string         `json:"filler,omitempty"`        // name or INCI of the ingredient that gives way to additions
	Areas         []palette.Area `json:"areas"`
	Ingredients   []Ingredient   `json:"ingredients"`
	Assessed      []string       `json:"assessed,omitempty"` // INCI names this tool does not know and a safety assessor has found fit
	Implied       []string       `json:"implied,omitempty"`  // what follows from the ingredients where the file says nothing, in words
	Assumed       []string       `json:"assumed,omitempty"`  // keys of its file whose values nobody gave
	File          string         `json:"-"`                  // for messages
}

// Ingredient is one row of a base.
type Ingredient struct {
	Phase     Phase   `json:"phase"`
	Name      string  `json:"name"` // as on the maker's jar
	INCI      string  `json:"inci"` // as written: one name, or name=percent joined by ;
	Percent   float64 `json:"percent"`
	Roles     []Role  `json:"roles"`
	AddBelowC float64 `json:"addBelowC,omitempty"` // °C; 0: no limit
	Usual     Range   `json:"usual"`               // the supplier's usual range, %
	UsualOf   Of      `json:"usualOf,omitempty"`   // what Usual is a percentage of
	HLB       float64 `json:"hlb,omitempty"`       // Griffin's, where the supplier gives one
	Line      int     `json:"-"`                   // in the file
}

// Of says what a usual range is a percentage of.
type Of string

// A range is of the finished product or of the oil phase.
const (
	OfProduct Of = "product"
	OfOil     Of = "oil"
)

// Phase is the part of the work an ingredient belongs to.
type Phase string

// The phases, in working order.
const (
	PhaseWater   Phase = "water"   // lotion: heated
	PhaseOil     Phase = "oil"     // lotion: heated; oil: the carrier
	PhaseWetting Phase = "wetting" // oil: what the powder is wetted in
	PhaseBase    Phase = "base"    // ready made
	PhaseCool    Phase = "cool"    // after cooling
	PhasePowder  Phase = "powder"  // colourants; never in a base's own file
)

// phasesOf lists the phases a base of each kind may use, in working order.
var phasesOf = map[Kind][]Phase{
	Lotion: {PhaseWater, PhaseOil, PhaseCool},
	Oil:    {PhaseOil, PhaseWetting, PhaseCool},
	Mist:   {PhaseOil, PhaseWetting, PhaseCool},
	Spray:  {PhaseWater, PhaseWetting, PhaseCool},
	Ready:  {PhaseBase},
}

// Role is what an ingredient is there for.
type Role string

// The roles the checks know.
const (
	RoleSolvent      Role = "solvent"
	RoleHumectant    Role = "humectant"
	RoleEmulsifier   Role = "emulsifier"
	RoleCoEmulsifier Role = "co-emulsifier"
	RoleThickener    Role = "thickener"
	RoleSuspender    Role = "suspender" // builds a yield stress
	RoleEmollient    Role = "emollient"
	RoleButter       Role = "butter"
	RoleWetting      Role = "wetting"
	RolePreservative Role = "preservative"
	RoleBooster      Role = "booster" // helps a preservative, is not one
	RoleAntioxidant  Role = "antioxidant"
	RoleChelator     Role = "chelator"
	RolePH           Role = "ph"
	RoleScent        Role = "scent"
	RoleActive       Role = "active"
	RoleFiller       Role = "filler"  // gives way to what is added
	RoleUnknown      Role = "unknown" // nothing is known of it, nor checked
)

// Roles lists the accepted roles.
var Roles = []Role{RoleSolvent, RoleHumectant, RoleEmulsifier, RoleCoEmulsifier, RoleThickener,
	RoleSuspender, RoleEmollient, RoleButter, RoleWetting, RolePreservative, RoleBooster,
	RoleAntioxidant, RoleChelator, RolePH, RoleScent, RoleActive, RoleFiller, RoleUnknown}

// Has reports whether the ingredient has the role.
func (i Ingredient) Has(r Role) bool { return slices.Contains(i.Roles, r) }

// Substances splits a bought blend into its substances, in % of the
// ingredient. Where its supplier states no shares they are the usual ones of
// that mixture, as estimates, or 0 where it is none of the trade's.
func (i Ingredient) Substances() []palette.Ingredient {
	subs, _ := palette.ParseINCI(i.INCI)
	if len(subs) > 1 && subs[0].Percent == 0 {
		if m := rules.SoldAs(subs); m != nil {
			return m.Subs
		}
	}
	return subs
}

// share is how much of the base is what a test picks of its substances, % w/w.
func (b *Base) share(is func(inci string) bool) float64 {
	sum := 0.0
	for _, in := range b.Ingredients {
		for _, s := range in.Substances() {
			if is(s.INCI) {
				sum += in.Percent * s.Percent / 100
			}
		}
	}
	return sum
}

// AsWeighed is the base as it is in a finished batch of totalG grams: rest are the grams
// of what is no powder, by name, the base itself among them where more of it was put in
// whole. What none was weighed of is not in it.
func (b Base) AsWeighed(rest map[string]float64, totalG float64) Base {
	if b.Kind == Ready || totalG <= 0 {
		return b
	}
	b.Ingredients = slices.Clone(b.Ingredients)
	for _, name := range slices.Sorted(maps.Keys(rest)) { // put in beside its lines
		own := name == b.Name || slices.ContainsFunc(b.Ingredients, func(in Ingredient) bool { return in.Name == name })
		if in, err := AsIngredient(name); err == nil && !own {
			in.Percent = 0
			b.Ingredients = append(b.Ingredients, in)
		}
	}
	planned := map[string]float64{} // one name may stand in two phases
	for _, in := range b.Ingredients {
		planned[in.Name] += in.Percent
	}
	filler, left := b.filler(""), 100.0
	var made []Ingredient
	for i, in := range b.Ingredients {
		share := 1.0
		if planned[in.Name] > 0 {
			share = in.Percent / planned[in.Name]
		}
		in.Percent = 100 / totalG * (share*rest[in.Name] + in.Percent/100*rest[b.Name])
		if i != filler {
			left -= in.Percent
		}
		made = append(made, in)
	}
	if filler >= 0 { // it gives way to the powders again
		made[filler].Percent = left
	}
	sum := 0.0
	b.Ingredients = slices.DeleteFunc(made, func(in Ingredient) bool {
		sum += max(0, in.Percent)
		return in.Percent <= 0
	})
	for i := range b.Ingredients {
		b.Ingredients[i].Percent *= 100 / sum // without a filler the powders are not in it yet
	}
	return b
}

// alcohol reports whether an INCI name is ethanol's.
func alcohol(inci string) bool {
	n := strings.ToLower(inci)
	return n == "alcohol" || strings.HasPrefix(n, "alcohol denat")
}

// flammable is the share of alcohol from which a product catches fire at room
// temperature, % w/w: about 20 % in water has a flash point under 37 °C (from
// memory of tables of flash points).
const flammable = 20

// Flammable reports whether the base is alcohol enough to burn.
func (b *Base) Flammable() bool { return b.share(alcohol) >= flammable }

// HasWater reports whether any ingredient is water or brings some, which is
// what makes a preservative necessary.
func (b *Base) HasWater() bool {
	return slices.ContainsFunc(b.Ingredients, func(in Ingredient) bool {
		return slices.ContainsFunc(in.Substances(), func(s palette.Ingredient) bool { return watery(s.INCI) })
	})
}

// LosesWater reports whether what dries off it is water, and not alcohol or nothing.
func (b *Base) LosesWater() bool { return b.HasWater() && !b.Flammable() }

// Preserved reports whether it loses water and has a preservative, which more water thins.
func (b *Base) Preserved() bool {
	return b.LosesWater() && slices.ContainsFunc(b.Ingredients, func(in Ingredient) bool { return in.Has(RolePreservative) })
}

// watery reports whether an INCI name is water or a water-based extract.
func watery(inci string) bool {
	n := strings.ToLower(inci)
	return n == "aqua" || n == "water" || strings.HasSuffix(n, " water") ||
		strings.HasSuffix(n, " leaf juice") || strings.HasSuffix(n, " juice")
}

// OilShare is the part of the base that is oil phase; a ready-made base, whose
// shares are not known, is taken to have a fifth (a usual lotion, common
// practice).
func (b *Base) OilShare() float64 {
	sum := 0.0
	for _, i := range b.Ingredients {
		if i.Phase == PhaseOil {
			sum += i.Percent / 100
		}
	}
	if sum == 0 {
		return 0.2
	}
	return sum
}

// Sum is the total of the ingredients' percentages; 0 for a ready-made base.
func (b *Base) Sum() float64 {
	s := 0.0
	for _, in := range b.Ingredients {
		s += in.Percent
	}
	return s
}

// filler finds the ingredient that gives way: the named one, else the row
// with the filler role, else none (-1).
func (b *Base) filler(name string) int {
	name = cmp.Or(name, b.Filler)
	return slices.IndexFunc(b.Ingredients, func(in Ingredient) bool {
		return name == "" && in.Has(RoleFiller) || name != "" && (strings.EqualFold(in.Name, name) || strings.EqualFold(in.INCI, name))
	})
}
