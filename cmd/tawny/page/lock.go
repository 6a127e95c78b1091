package page

import (
	"regexp"
	"strings"

	"tawny/blend/batch"
	"tawny/cmd/tawny/job"
	"tawny/colour"
	"tawny/colour/skin"
	"tawny/testdata/demo"
)

// A page must not read this machine's disk, whatever it is asked. locked looks
// at every field that may name a file and lets through only what cannot.
func locked(d *job.Doc) error {
	for _, f := range d.Fields() {
		if !d.Given(f.Name) {
			continue
		}
		if f.Local {
			return ask(f.Name, "%s is for the command line", called(f.Name))
		}
		if f.Reads == "" {
			continue
		}
		texts, many := f.Value().([]string)
		if !many {
			text, _ := f.Value().(string)
			texts = []string{text}
		}
		for _, text := range texts {
			if !harmless[f.Reads](strings.TrimSpace(text)) {
				return ask(f.Name, "%s: %.60q is not understood; %s is accepted", called(f.Name), text, accepted[f.Reads])
			}
		}
	}
	return nil
}

var harmless = map[job.Reads]func(string) bool{
	job.AColour: colourInWords, job.ALight: lightByName, job.ABase: baseByName,
	job.AFile: func(text string) bool { return text == "" },
}

var accepted = map[job.Reads]string{
	job.AColour: "a preset, lab:L,a,b, lch:L,C,h, #rrggbb, skin:dL,dC,dh for a shade, or client:NAME for a skin",
	job.ALight:  "one of the lights", job.ABase: "one of the bases", job.AFile: "nothing that names a file",
}

// A number, and a colour in numbers: it never names a file.
const digits = `[-+0-9.]{1,12}`

var (
	written  = regexp.MustCompile(`^(?:(?:lab|lch):` + digits + `(?:,` + digits + `){2}(?:@[0-9A-Za-z-]{1,12})?|#[0-9a-fA-F]{6}|#[0-9a-fA-F]{3})(?:/(?:2|10|de|di))*$`)
	relative = regexp.MustCompile(`^skin:` + digits + `(?:,` + digits + `){2}$`)
	bands    = regexp.MustCompile(`^bands:[0-9,]{1,300}(?:/de|/di)?$`)
	weighted = regexp.MustCompile(`^(?:[a-z]{1,12}|[0-9]{1,3})=[0-9.]{1,12}$`)
	kelvin   = regexp.MustCompile(`^[0-9]{4,5}K$`)
)

func colourInWords(text string) bool {
	if before, target, ok := strings.Cut(text, "="); ok {
		// A direction to match, with its weight and perhaps a target of its own.
		weight, at, aimed := strings.Cut(target, "@")
		return weighted.MatchString(before+"="+weight) && (!aimed || colourInWords(at))
	}
	for part := range strings.SplitSeq(text, ";") {
		part = strings.TrimSpace(part)
		_, err := skin.Find(part)
		if _, known := demo.FindDancer(part); known {
			err = nil
		}
		client, isClient := strings.CutPrefix(part, "client:")
		if !(part == "" || err == nil || written.MatchString(part) || relative.MatchString(part) || bands.MatchString(part) || isClient && client != "") {
			return false
		}
	}
	return true
}

func lightByName(text string) bool {
	for _, l := range colour.Illuminants() {
		if strings.EqualFold(l.Name, text) {
			return true
		}
	}
	return text == "" || kelvin.MatchString(text)
}

func baseByName(text string) bool {
	bases, err := batch.Builtin()
	if err != nil {
		return false
	}
	for _, b := range bases {
		if strings.EqualFold(b.Name, text) {
			return true
		}
	}
	return text == ""
}
