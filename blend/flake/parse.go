package flake

import (
	"fmt"
	"strconv"
	"strings"

	"tawny/blend/flake/constants"
	"tawny/colour/table"
)

// ParseLayers reads coats written "rutile:75+hematite:20": materials with
// thickness in nm, inner first, joined by plus signs. An empty text is plain
// mica, no coats. Materials are named in any case and returned as this package
// spells them.
func ParseLayers(text string) ([]Layer, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var layers []Layer
	for i, part := range strings.Split(text, "+") {
		name, thickness, found := strings.Cut(part, ":")
		if !found {
			return nil, fmt.Errorf("layer %d %q: want material:thickness in nm, such as rutile:75", i+1, strings.TrimSpace(part))
		}
		m, err := constants.Find(name)
		if err != nil {
			return nil, fmt.Errorf("layer %d: %w", i+1, err)
		}
		if !m.Coat {
			return nil, fmt.Errorf("layer %d: %s is not a material for coats", i+1, m.Name)
		}
		nm, err := table.Finite(thickness)
		if err != nil || !(nm >= 0 && nm <= MaxCoatNM) {
			return nil, fmt.Errorf("layer %d, %s: thickness %q; a number of nm from 0 to %g is accepted", i+1, m.Name, strings.TrimSpace(thickness), MaxCoatNM)
		}
		if len(layers) == MaxLayers {
			return nil, fmt.Errorf("more than %d layers", MaxLayers)
		}
		layers = append(layers, Layer{m.Name, nm})
	}
	return layers, nil
}

// FormatLayers writes coats as [ParseLayers] reads them.
func FormatLayers(layers []Layer) string {
	parts := make([]string, len(layers))
	for i, l := range layers {
		parts[i] = l.Material + ":" + strconv.FormatFloat(l.ThicknessNM, 'g', -1, 64)
	}
	return strings.Join(parts, "+")
}
