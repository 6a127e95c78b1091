//go:build race

package blend

const underRace = true
