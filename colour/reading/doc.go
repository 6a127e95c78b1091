// Package reading brings measured colour in: instrument files, photos with
// known patches in frame, and the mean of repeated readings.
//
// [Read] takes a CSV with one sample a row, a CSV with one wavelength a row,
// or the text format of ISO 28178 (CGATS.17). [DecodePhoto] takes a JPEG or PNG.
// Either way the outcome is a [colour.Reading], and whatever was taken for
// granted on the way is said in words.
package reading
