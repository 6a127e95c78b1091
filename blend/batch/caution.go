package batch

import (
	"tawny/blend/palette"
)

// Caution is one safety line and where on the sheet it belongs.
type Caution struct {
	When   When   `json:"when"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// When is the moment of the work a caution belongs to.
type When string

// The moments, in order.
const (
	WhenBuying  When = "buying"
	WhenMaking  When = "making"
	WhenFilling When = "filling"
	WhenSelling When = "selling"
	WhenWearing When = "wearing"
)

const practice = "common practice"

// Deferral ends every sheet and label text.
const Deferral = "Local rules and a qualified safety assessor decide what may be sold; this sheet is a help, not an approval."

func cautions(req *Request, b *Batch) []Caution {
	base := &req.Base
	water := base.HasWater()
	mist := base.Kind == Mist
	var out []Caution
	add := func(w When, text, source string) { out = append(out, Caution{w, text, source}) }

	if len(req.Parts) > 0 {
		add(WhenBuying, "Cosmetic-grade powders only, each lot with its certificate (lead at most 20, arsenic 3, mercury 1 mg/kg). Never craft or jewellery powder.", "21 CFR 73.1496(b) by way of 73.2496")
		add(WhenMaking, "Wear a fitted dust mask (FFP2 or better) and goggles while powders are dry, and open jars slowly, out of draughts.", practice)
	}
	add(WhenMaking, "Sanitise bench, tools and bottles with 70 % alcohol and let them dry. Alcohol burns: keep it from flames and hot plates.", practice)
	if base.HeatC.Stated() {
		add(WhenMaking, "Hot water and oil scald. Heat in a water bath, lids loose, handles in, and never leave it.", practice)
	}
	for _, l := range b.Weighings {
		if hasRole(l, RolePH) {
			add(WhenMaking, l.Name+" burns skin and eyes: gloves and goggles on, weigh it last, rinse spills with much water.", practice)
			break
		}
	}
	if water {
		add(WhenMaking, "Anything with water grows microbes. Clean hands, clean tools, and the preservative every time; before it is sold the finished product needs a challenge test (ISO 11930).", "ISO 11930")
	} else {
		add(WhenMaking, "There is no preservative in this: keep water, wet tools and wet hands out of it.", practice)
	}
	if mist {
		add(WhenWearing, "Spray away from the face, in moving air. Do not breathe the mist, and keep it from eyes, flames and hot lamps.", practice)
		if usesTitania(req.Parts) {
			add(WhenSelling, "NOT FOR SALE IN THE EU WITHOUT AN ASSESSOR: titanium dioxide in a product that may be breathed. Powdered titania with fine particles is classed as suspected of causing cancer if inhaled.", titaniaSource)
		}
	}
	if !water || mist {
		add(WhenWearing, "Oil makes floors slippery: do not apply it where people dance or walk barefoot, and wipe soles and floor.", practice)
	}
	if len(req.Parts) > 0 {
		add(WhenWearing, "Shimmer comes off on cloth, seats and partners. Let it settle ten minutes before dressing.", practice)
	}
	add(WhenWearing, "Try a patch inside the elbow for 24 hours first. Not on broken skin. Stop if it stings.", practice)
	switch b.Area {
	case palette.Eyes:
		add(WhenWearing, "Near the eyes only with powders allowed there; coarse flakes scratch.", "21 CFR 70.3(s), 70.5(a)")
	case palette.Lips:
		add(WhenWearing, "On lips only with colourants allowed in products that are swallowed.", "21 CFR 70.3(v)")
	default:
		add(WhenWearing, "For the body: keep away from eyes and lips.", "21 CFR 70.3(s) and (v)")
	}
	add(WhenSelling, Deferral, practice)
	return out
}
