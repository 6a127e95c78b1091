package search

import "tawny/colour"

// ExpectedSight returns the colour a batch should have as it is looked at, were
// its powders as strong as their data say: the middle of a ladder.
func ExpectedSight(r Request, seen Seen, made Made) (colour.Lab, error) {
	if err := made.Check(); err != nil {
		return colour.Lab{}, err
	}
	r, err := r.defaulted()
	if err != nil {
		return colour.Lab{}, err
	}
	s, err := sightOf(&r, seen, made.Parts())
	if err != nil {
		return colour.Lab{}, err
	}
	return s.lab(nil)
}
