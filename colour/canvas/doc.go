// Package canvas is the paper that swatches and sheets are set on: millimetre boxes,
// text that fits its box, and the backends that turn the same drawing into a
// PNG of an exact physical size or into a PDF.
//
// Everything is placed in millimetres from the top left corner, x to the
// right and y down. Text is measured from the font's own tables, never from
// pixels, so a layout is the same at every resolution.
package canvas
