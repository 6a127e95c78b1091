package flake

// Aspecular lists the viewing directions reported, in degrees from the mirror
// direction towards the light, with the light at 45° in air. 15, 45 and 110
// are ASTM E2194's; 75 is a common addition.
var Aspecular = [4]float64{15, 45, 75, 110}
