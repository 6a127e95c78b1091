package film

import "testing"

func TestCoverages(t *testing.T) {
	last := Coverage{SigmaDeg: 90}
	for _, c := range Coverages {
		if c.MgPerCM2 <= last.MgPerCM2 || c.SigmaDeg >= last.SigmaDeg || c.Name == "" || c.Plain == "" {
			t.Errorf("%+v after %+v", c, last)
		}
		if _, err := Kept(Lay{Index: DefaultIndex, TiltDeg: c.SigmaDeg}); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
		last = c
	}
}
