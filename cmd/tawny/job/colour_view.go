package job

import (
	"tawny/blend/film"
	"tawny/colour"
)

// ColourView is a colour under a light.
type ColourView struct {
	Lab colour.Lab `json:"lab"`
	LCh colour.LCh `json:"lch"`
	Hex string     `json:"hex"` // as a screen shows it
}

func colourView(v *colour.Viewing, c colour.Lab) ColourView {
	rgb, _ := v.Screen(c)
	return ColourView{c, c.LCh(), rgb.Hex()}
}

// AngleView is the look in one direction.
type AngleView struct {
	Aspecular float64 `json:"aspecular,omitempty"` // degrees from the mirror direction
	ColourView
	// Target and DeltaE00 are set for a direction that was matched.
	Target   *colour.Lab `json:"target,omitempty"`
	DeltaE00 *float64    `json:"deltaE00,omitempty"`
}

func angleViews(v *colour.Viewing, looks []film.AngleLook) (list []AngleView) {
	for _, a := range looks {
		list = append(list, AngleView{Aspecular: a.AspecularDeg, ColourView: colourView(v, a.Lab)})
	}
	return list
}
