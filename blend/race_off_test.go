//go:build !race

package blend

const underRace = false
