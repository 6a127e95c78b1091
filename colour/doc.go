// Package colour turns spectra into colour: reflectance on a 36-band grid,
// the CIE observers and illuminants, CIELAB and its differences, and sRGB for
// the screen.
//
// A colour only means something under a light and for an observer, so every
// conversion hangs on a [Viewing], the pair of them with its weights made once.
// [D65] is the pair a reading is taken in unless it says otherwise.
//
// Notation follows CIE 15:2018 "Colorimetry": X, Y, Z with Y = 100 for the
// perfect diffuser, L*, a*, b*, C*ab and h_ab in degrees. The reference white
// is always the perfect diffuser under the light in use.
package colour
