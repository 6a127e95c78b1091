// Package swatches draws the pictures people choose by: cards of a blend on
// skin, boards, comparisons, pairs and charts, as PNG or PDF of an exact physical
// size.
//
// It takes plain data and computes no colour of its own beyond what a screen
// needs, so what is on a card is what the model or the instrument said. Every
// colour that is shown is also written out, and every judgement is in words,
// so nothing is told by colour alone.
//
// Card, board and comparison are one layout of boxes: arms, each bare skin and the
// looks on it in one light, one above the other or, to be compared, side by side;
// and blocks of what is said of them. The text has three sizes, 7 points and more,
// and none is ever shrunk: pictures take what the words leave, and the paper is made
// longer or a card gets a back. A block's height is found by drawing it nowhere.
//
// The sequence is: fill in a [Card]; choose a [Paper] and let [Card.Paper] or
// [Card.Pages] fit it; draw with [Card.Draw] on any canvas, or make a file of it
// with [PNG] or [PDF].
package swatches
