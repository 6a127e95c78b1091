// Package swatches draws the pictures people choose by: cards of a blend on
// skin, comparisons, strips, grids and charts, as PNG or PDF of an exact
// physical size.
//
// It takes plain data and computes no colour of its own beyond what a screen
// needs, so what is on a card is what the model or the instrument said. Every
// colour that is shown is also written out, and every judgement is in words,
// so nothing is told by colour alone.
//
// The sequence is: fill in a [Card]; choose a [Paper]; draw with [Card.Draw]
// on any canvas, or make a file of it with [PNG] or [PDF].
package swatches
