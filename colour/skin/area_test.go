package skin

import "testing"

// Published: 4.4 g of body lotion an application on average (Loretz et al.
// 2005), 0.2 to 0.3 mg/cm² over the whole body.
func TestBodyLotionAsUsed(t *testing.T) {
	whole := BodyParts[len(BodyParts)-1]
	if mg := 4.4 / whole.Grams(1); mg < 0.2 || mg > 0.3 {
		t.Errorf("4.4 g over the whole body is %.2f mg/cm²", mg)
	}
	if got, want := AmountWords(0.5), "0.6 g on an arm, 0.18 g on a décolleté, 8.8 g on the whole body"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := WearingWords(104, 1), "87 times on an arm, 300 times on a décolleté, 5.9 times on the whole body"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := WearingWords(17.5, 1), "15 times on an arm, 50 times on a décolleté, 1 time on the whole body"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
