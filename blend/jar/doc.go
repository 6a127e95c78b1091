// Package jar guesses a powder from what its jar's label says: the substances
// tell which coats it may have, the colour which thickness, and the size its
// grain. Nothing here is measured; every share it adds is marked an estimate.
package jar
