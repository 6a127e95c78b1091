package film

import "fmt"

// CurvePoint is the look of a blend at one load.
type CurvePoint struct {
	LoadPercent float64 // % w/w
	Look
}

// Scaled returns a blend at another load, % w/w, its powders kept in their
// proportions.
func Scaled(parts []Part, load float64) []Part {
	sum := 0.0
	for _, p := range parts {
		sum += p.Percent
	}
	scaled := append([]Part(nil), parts...)
	for i := range scaled {
		scaled[i].Percent *= load / sum
	}
	return scaled
}

// Curve returns the look of a worn blend at each of the loads, % w/w, its
// powders kept in their proportions. A load of 0 is the base alone on the
// skin.
func Curve(w Worn, loads []float64) ([]CurvePoint, error) {
	parts, sum := w.Parts, 0.0
	for _, p := range parts {
		sum += p.Percent
	}
	if !(sum > 0) {
		return nil, fmt.Errorf("a blend of %g %%; at least one powder over 0 is needed for a curve", sum)
	}
	points := make([]CurvePoint, 0, len(loads))
	for _, load := range loads {
		if !(load >= 0 && load <= MaxLoad) {
			return nil, fmt.Errorf("load %g %% w/w; 0 to %g is accepted", load, MaxLoad)
		}
		w.Parts = Scaled(parts, load)
		look, err := Predict(w)
		if err != nil {
			return nil, err
		}
		points = append(points, CurvePoint{load, *look})
	}
	return points, nil
}
