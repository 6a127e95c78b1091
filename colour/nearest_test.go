package colour

import "testing"

func TestEditDistance(t *testing.T) {
	// Levenshtein's own examples as textbooks give them.
	for _, c := range []struct {
		a, b string
		d    int
	}{{"kitten", "sitting", 3}, {"flaw", "lawn", 2}, {"", "abc", 3}, {"mica", "mica", 0}} {
		if d := EditDistance(c.a, c.b); d != c.d {
			t.Errorf("%q, %q: %d, want %d", c.a, c.b, d, c.d)
		}
	}
}

func TestNearest(t *testing.T) {
	for written, want := range map[string]string{"pale golf": "pale gold", "BRONSE": "Bronze", "bronze": "Bronze", "": "Bronze"} {
		if got := Nearest(written, []string{"pale gold", "Bronze", "silver white"}); got != want {
			t.Errorf("%q: %q, want %q", written, got, want)
		}
	}
	if got := Nearest("Phenoxyethanol", []string{"xanthan gum", "phenoxyethanol and ethylhexylglycerin"}); got != "phenoxyethanol and ethylhexylglycerin" {
		t.Errorf("of what begins so: %q", got)
	}
	if got := Nearest("ab", []string{"xy", "ac", "cb"}); got != "ac" {
		t.Errorf("of two as near: %q, want the first", got)
	}
	if got := Nearest("x", nil); got != "" {
		t.Errorf("of no names: %q", got)
	}
}

// What is not near is not suggested: a third of the letters, or one.
func TestNearBy(t *testing.T) {
	for written, want := range map[string]string{
		"pale golf": "pale gold", "BRONSE": "Bronze", " bronz ": "Bronze", "plae glod": "", "": "", "x": "",
		"ultramarine": "", "silber wite": "silver white", "quartz": "",
	} {
		if got := NearBy(written, []string{"pale gold", "Bronze", "silver white"}); got != want {
			t.Errorf("%q: %q, want %q", written, got, want)
		}
	}
	if got := NearBy("x", nil); got != "" {
		t.Errorf("of no names: %q", got)
	}
}
