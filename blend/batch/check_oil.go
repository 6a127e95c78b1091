package batch

import "tawny/blend/batch/rules"

// rancid is the iodine value above which an oil wants an antioxidant, g per
// 100 g (common practice: non-drying oils lie below about 80–100). Castor oil and
// jojoba, a wax of single double bonds, keep in spite of theirs (common practice).
const rancid = 80

// oils checks for an antioxidant with unsaturated oils and for a wetting oil
// that will not mix with the rest.
func (c *checker) oils() {
	worst, worstName, worstIV := "", "", 0.0 // the line, its oil, iodine value
	family := map[rules.Family]float64{}
	var castor *Weighing
	carriers := 0.0
	for i, l := range c.Lines {
		for _, s := range c.substances(l) {
			in := rules.IngredientOf(s.INCI)
			if in == nil {
				continue
			}
			share := s.Percent / 100
			if c.Base.Kind == Ready {
				share = 1
			}
			if in.Family == rules.Triglyceride && in.IodineValue > max(rancid, worstIV) && (l.Percent*share >= 1 || c.Base.Kind == Ready) {
				worst, worstName, worstIV = l.Name, s.INCI, in.IodineValue
			}
			if in.Family == rules.Ricinoleate && (l.Phase == PhaseWetting || l.Has(RoleWetting)) {
				castor = &c.Lines[i]
			} else if l.Phase == PhaseOil {
				family[in.Family] += l.Percent * share
				carriers += l.Percent * share
			}
		}
	}
	if worstName != "" && !c.hasAntioxidant() {
		c.add(Fault, worst, practice, "%s is unsaturated (iodine value about %.0f) and nothing keeps it from going rancid. Add about 0.3 %% tocopherol.", worstName, worstIV)
	}
	if castor == nil || carriers == 0 {
		return
	}
	switch {
	case family[rules.Silicone] > carriers/2:
		c.add(Fault, castor.Name, practice, "%s does not mix with silicone and will part. Wet the powder in the silicone itself, or in a phenyl silicone.", castor.Name)
	case family[rules.Hydrocarbon] > carriers/2:
		c.add(Fault, castor.Name, practice, "%s does not mix with mineral oil, squalane or light alkanes and will part. Wet the powder in octyldodecanol or caprylic/capric triglyceride.", castor.Name)
	}
}

func (c *checker) hasAntioxidant() bool {
	if c.Has(RoleAntioxidant) {
		return true
	}
	for _, in := range c.Base.Ingredients {
		if in.Has(RoleAntioxidant) {
			return true
		}
	}
	return false
}
