package drawdown

// Known says how much a band's readings determine.
type Known int

// What is known of a band.
const (
	Both      Known = iota // K and S
	RatioOnly              // K/S: the film hides its ground
)

// OnePair reports whether the readings are one film over two grounds, which
// leaves nothing over to say of its mass.
func OnePair(readings []Reading) bool {
	return len(readings) == 2 && readings[0].Film == readings[1].Film
}
