package colour

import "encoding/json"

// MarshalJSON writes a colour as [L*, a*, b*].
func (c Lab) MarshalJSON() ([]byte, error) { return json.Marshal([3]float64{c.L, c.A, c.B}) }

// UnmarshalJSON reads [L*, a*, b*].
func (c *Lab) UnmarshalJSON(data []byte) error {
	var v [3]float64
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*c = Lab{v[0], v[1], v[2]}
	return nil
}

// MarshalJSON writes a colour as [L*, C*, h in degrees].
func (c LCh) MarshalJSON() ([]byte, error) { return json.Marshal([3]float64{c.L, c.C, c.H}) }

// UnmarshalJSON reads [L*, C*, h in degrees].
func (c *LCh) UnmarshalJSON(data []byte) error {
	var v [3]float64
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*c = LCh{v[0], v[1], v[2]}
	return nil
}
