package rules

import (
	_ "embed"
	"sync"
)

//go:embed ingredients.csv
var ingredientFile []byte

// Ingredient is what the checks need to know of a base ingredient.
type Ingredient struct {
	INCI        string
	USName      string
	Family      Family
	IodineValue float64 // g per 100 g
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

var ingredients = sync.OnceValue(func() map[string]*Ingredient {
	t := open(ingredientFile, "ingredients.csv", "inci,us_name,family,iodine_value")
	out := map[string]*Ingredient{}
	for t.next() {
		in := &Ingredient{INCI: t.text(0), USName: t.text(1), Family: Family(t.text(2)), IodineValue: t.number(3)}
		out[key(in.INCI)] = in
	}
	return out
})

// IngredientOf returns what is known of an INCI name, nil for nothing.
func IngredientOf(inci string) *Ingredient { return ingredients()[key(inci)] }
