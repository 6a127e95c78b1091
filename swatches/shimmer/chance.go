package shimmer

import "math"

// chance is a counter-based source of random numbers: number k of a stream is
// a pure function of seed, stream and k, so rows can be drawn in any order, by
// any number of workers, with the same result. The mixing is SplitMix64's
// (Steele, Lea and Flood, "Fast splittable pseudorandom number generators",
// OOPSLA 2014).
type chance struct{ key, k uint64 }

const golden = 0x9e3779b97f4a7c15

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// stream returns the numbers that belong to one row.
func stream(seed uint64, row int) chance {
	return chance{key: mix(mix(seed+golden) + uint64(row)*golden)}
}

// next returns a number above 0 and below 1.
func (c *chance) next() float64 {
	c.k++
	return (float64(mix(c.key+c.k*golden)>>11) + 0.5) / (1 << 53)
}

// poisson returns a Poisson count of the given mean, as the number of unit
// exponential steps that fit into it. The steps are multiplied up to a chunk
// before one logarithm is taken.
func (c *chance) poisson(mean float64) int {
	n := 0
	for mean > 0 {
		const chunk = 400 // e⁻⁴⁰⁰ is well inside float64
		m := math.Min(mean, chunk)
		mean -= m
		limit, p := math.Exp(-m), 1.0
		for {
			p *= c.next()
			if p < limit {
				break
			}
			n++
		}
	}
	return n
}
