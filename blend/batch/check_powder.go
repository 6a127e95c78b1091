package batch

import (
	"cmp"

	"tawny/blend/palette"
)

// nozzleRatio is how many of the largest flakes wide a passage must be, since
// crowded grains arch and jam under about 3 to 6 of their own width (common
// practice, and the jamming of hoppers, from memory).
const nozzleRatio = 5

// fineMistUM is the passage of a usual fine-mist pump, µm (from memory: spray
// inserts have 0.2 to 0.4 mm).
const fineMistUM = 300

// Clogs reports whether a powder's flakes may block a nozzle's smallest passage, µm;
// 0 is that of a usual fine-mist pump.
func Clogs(p *palette.Pigment, nozzleUM float64) bool {
	return nozzleRatio*p.D90 > cmp.Or(nozzleUM, fineMistUM)
}

// grade checks flake sizes against a nozzle, the eye area and how near they are to
// the fineness rule.
func (c *checker) grade() {
	for _, part := range c.req.Parts {
		p := part.Pigment
		if p.D90 == 0 {
			continue
		}
		if c.Base.Kind.Sprayed() && Clogs(p, c.req.NozzleUM) {
			word := "the nozzle's passage"
			if c.req.NozzleUM == 0 {
				word = "the passage of a usual fine-mist pump"
			}
			c.add(Fault, p.Name, practice, "%s has flakes to %g µm (d90) and wants a passage of %g µm or more; %s is %g µm and will block. Take a finer grade or another pump.", p.Name, p.D90, nozzleRatio*p.D90, word, cmp.Or(c.req.NozzleUM, fineMistUM))
		}
		if c.Area == palette.Eyes && p.D90 > 100 {
			c.add(Fault, p.Name, practice, "%s has flakes to %g µm: too coarse near the eye, where they scratch. Take a finer grade.", p.Name, p.D90)
		}
		if _, percentile := tooCoarse(p); p.D90 > 100 && percentile == "" && holdsMica(p) {
			c.add(Advice, p.Name, finenessSource, "%s has d90 %g µm: near the 150 µm that all of a mica colour additive must pass. Look for the sieve line on its certificate.", p.Name, p.D90)
		}
	}
}
