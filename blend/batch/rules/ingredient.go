package rules

import (
	_ "embed"
	"sync"
)

//go:embed ingredients.csv
var ingredientFile []byte

// Ingredient is what the checks and a recipe's reader need to know of a base
// ingredient.
type Ingredient struct {
	INCI        string
	USName      string
	Family      Family
	IodineValue float64  // g per 100 g
	Phase       string   // a recipe takes it to belong to
	Roles       []string // it is there for
	MeltsC      float64  // °C it melts at; 0: liquid in a cool room, or not melted
	AddBelowC   float64  // °C heat would harm it above; 0: none
}

// Family is what an oily ingredient mixes with.
type Family string

// The families the checks tell apart.
const (
	Triglyceride Family = "triglyceride"
	Hydrocarbon  Family = "hydrocarbon"
	Silicone     Family = "silicone"
	Ester        Family = "ester"
	Ricinoleate  Family = "ricinoleate" // castor: hydroxyl groups keep it out of hydrocarbons and silicones
	Alcoholic    Family = "alcohol"
	Watery       Family = "water"
	Other        Family = "other"
)

type ingredientTable struct{ byINCI, byName map[string]*Ingredient }

var ingredients = sync.OnceValue(func() ingredientTable {
	t := open(ingredientFile, "ingredients.csv", "inci,us_name,family,iodine_value,phase,roles,melts_c,add_below_c,names")
	out := ingredientTable{map[string]*Ingredient{}, map[string]*Ingredient{}}
	for t.next() {
		in := &Ingredient{INCI: t.text(0), USName: t.text(1), Family: Family(t.text(2)), IodineValue: t.number(3),
			Phase: t.text(4), Roles: t.words(5), MeltsC: t.number(6), AddBelowC: t.number(7)}
		out.byINCI[key(in.INCI)] = in
		for _, n := range append(t.words(8), in.USName) {
			if n != "" && out.byName[key(n)] == nil {
				out.byName[key(n)] = in
			}
		}
	}
	return out
})

// IngredientOf returns what is known of an INCI name, nil for nothing.
func IngredientOf(inci string) *Ingredient { return ingredients().byINCI[key(inci)] }
