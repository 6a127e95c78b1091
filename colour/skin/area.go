package skin

import (
	"fmt"
	"math"
	"strings"
)

// BodyPart is an area of skin that is worn on.
type BodyPart struct {
	Name string // "an arm"
	CM2  float64
}

// BodyParts are what amounts are given for. The whole body of an adult is 1.66
// to 1.90 m² (ICRP Publication 89, 2002), an arm without its hand 7 % of it
// (Lund and Browder 1944, from memory: upper arm 4, forearm 3), and a décolleté
// two palms with their fingers, 1 % each (common practice).
var BodyParts = []BodyPart{
	{"an arm", 1200}, {"a décolleté", 350}, {"the whole body", 17500},
}

// Grams returns what covers the part once, at mg of product a cm². Body lotion
// as used is 4.4 g an application on average, median 3.5 (Loretz et al., Food
// Chem. Toxicol. 43:279, 2005): over the whole body about a quarter of 1 mg/cm².
func (p BodyPart) Grams(mgPerCM2 float64) float64 { return p.CM2 * mgPerCM2 / 1000 }

// AmountWords says what an application is in grams for each part.
func AmountWords(mgPerCM2 float64) string {
	var list []string
	for _, p := range BodyParts {
		list = append(list, fmt.Sprintf("%s g on %s", roundly(p.Grams(mgPerCM2)), p.Name))
	}
	return strings.Join(list, ", ")
}

// WearingWords says how often a bottle of so many grams covers each part.
func WearingWords(grams, mgPerCM2 float64) string {
	var list []string
	for _, p := range BodyParts {
		times := grams / p.Grams(mgPerCM2)
		word := "times"
		if roundly(times) == "1" {
			word = "time"
		}
		list = append(list, fmt.Sprintf("%s %s on %s", roundly(times), word, p.Name))
	}
	return strings.Join(list, ", ")
}

// roundly writes a number to two digits, since areas are known no better.
func roundly(x float64) string {
	if x == 0 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1)
	return fmt.Sprintf("%g", math.Round(math.Round(x/step)*step*1e9)/1e9)
}
