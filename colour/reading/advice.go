package reading

// Advice says how to take a photo that can be measured, one step each. Common
// practice in photographing colour; the last lines are the limits of the
// method.
func Advice() []string {
	return []string{
		"Use diffuse daylight: open shade, or a window out of the sun, with lamps off. No flash, and nothing coloured close by.",
		"Hold the card or patches beside the skin or swatch, in the same light and at the same angle, flat and without glare.",
		"Fill the picture with skin and card, keep both sharp, and step back rather than let your shadow fall on them.",
		"Turn off filters, portrait, beauty and night modes. Save or share as JPEG or PNG at full size, not as a screenshot.",
		"If white paper or the skin's bright spots come out pure white, lower the exposure and take it again.",
		"One grey card corrects exposure and tint. Four or more patches of different, known colours also correct the camera's mixing of colours.",
		"Take three photos and average them: what differs between them is what the camera adds.",
		"A photo of shimmer is one angle only, gloss left out. It is never a sphere reading and says nothing of how the shimmer turns.",
	}
}
