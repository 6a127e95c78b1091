package batch

import (
	"slices"

	"tawny/blend/batch/rules"
)

// rancid is the iodine value above which an oil wants an antioxidant, g per
// 100 g (common practice: non-drying oils lie below about 80–100). Castor oil and
// jojoba, a wax of single double bonds, keep in spite of theirs (common practice).
const rancid = 80

// oils checks for an antioxidant with unsaturated oils and for a wetting oil
// that will not mix with the rest.
func (c *checker) oils() {
	worst, worstIV := part{}, 0.0 // iodine value
	family := map[rules.Family]float64{}
	castor, carriers := "", 0.0
	for _, s := range c.parts {
		in := rules.IngredientOf(s.INCI)
		if in == nil {
			continue
		}
		if in.Family == rules.Triglyceride && in.IodineValue > max(rancid, worstIV) && (s.percent >= 1 || c.Base.Kind == Ready) {
			worst, worstIV = s, in.IodineValue
		}
		if in.Family == rules.Ricinoleate && (s.line.Phase == PhaseWetting || s.line.Has(RoleWetting)) {
			castor = s.line.Name
		} else if s.line.Phase == PhaseOil {
			family[in.Family] += s.percent
			carriers += s.percent
		}
	}
	keeps := slices.ContainsFunc(c.Base.Ingredients, func(in Ingredient) bool { return in.Has(RoleAntioxidant) })
	if worstIV > 0 && !keeps {
		c.add(Fault, worst.line.Name, practice, "%s is unsaturated (iodine value about %.0f) and nothing keeps it from going rancid. Add about 0.3 %% tocopherol.", worst.INCI, worstIV)
	}
	switch {
	case castor == "" || carriers == 0:
	case family[rules.Silicone] > carriers/2:
		c.add(Fault, castor, practice, "%s does not mix with silicone and will part. Wet the powder in the silicone itself, or in a phenyl silicone.", castor)
	case family[rules.Hydrocarbon] > carriers/2:
		c.add(Fault, castor, practice, "%s does not mix with mineral oil, squalane or light alkanes and will part. Wet the powder in octyldodecanol or caprylic/capric triglyceride.", castor)
	}
}
