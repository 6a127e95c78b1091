package job

import (
	"tawny/blend/film"
	"tawny/blend/search"
	"tawny/colour/skin"
)

// The groups of fields that several jobs share. Each is declared here once.

func (in *Input) skinGroup() Group {
	return Group{Title: "Skin", Fields: []Field{
		{Name: "skin", Words: "the bare skin: a preset, a colour, a reflectance file, file#sample or client:NAME", Lists: "skin", To: &in.Skin},
		{Name: "site", Words: "where it is on the body, for its undertone and its preset: " + orList(skin.SiteNames()) + " (default not said; presets are faces)", Choices: skin.SiteNames(), To: &in.Site},
		{Name: "repeat", Words: "how well the skin's reading repeats, ΔE00 (default by its kind)", High: 20, Above: true, To: &in.Repeat},
	}}
}

func (in *Input) lightGroup() Group {
	return Group{Title: "Light", Fields: []Field{
		{Name: "illuminant", Words: "light it is seen in: A, D50, D65, F2, F11, LED-B3, stage, 2700K or a CSV file (default D65)", Lists: "light", To: &in.Illuminant},
		{Name: "observer", Words: "standard observer: 2 or 10 degrees (default 2)", Lists: "observer", To: &in.Observer},
		{Name: "second-light", Words: "second light, for the shift between lights (default stage)", Lists: "light", To: &in.Second},
	}}
}

func (in *Input) shadeGroup() Group {
	return Group{Title: "Shade", Fields: append([]Field{
		{Name: "target", Words: "the shade wanted: a colour, a reflectance file, skin:dL,dC,dh or words (" + shadeList() + ")", To: &in.Target},
		{Name: "see", Words: "directions to match, with weights and perhaps a target each: diffuse=1, 45=0.5, 15=0.3@skin:12,6,8", To: &in.See},
		{Name: "both-lights", Words: "match under both lights together", To: &in.BothLights},
		{Name: "demo", Words: "fill in what is not given from an invented dance company; skin and target may name a dancer and a look", To: &in.demo},
	}, in.shimmerFields()...)}
}

func (in *Input) wornGroup() Group {
	return Group{Title: "Worn", Fields: []Field{
		{Name: "apply", Words: "how thickly it is worn: sheer, smoothed, full or mg/cm² (default smoothed, 1 mg/cm²: " + skin.AmountWords(1) + ")", Lists: "coverage", To: &in.Apply},
		{Name: "apply-spread", Words: "how much the amount put on varies, in % (default 25)", Unit: "%", High: 99, Above: true, To: &in.ApplySpread},
		{Name: "tilt", Words: "spread of the flakes' tilt in degrees (default that of the coverage)", Unit: "degrees", Low: film.LeastTilt, High: film.MostTilt, To: &in.Tilt},
		{Name: "surface-tilt", Words: "of that, what the film's surface tilts with its flakes, in degrees; other coverages get their share (default 0, flat)", Unit: "degrees", High: film.MostSurface(film.MostTilt), To: &in.SurfaceTilt},
		in.areaField(),
	}}
}

func (in *Input) areaField() Field {
	return Field{Name: "area", Words: "where it is worn, one of body, eyes and lips: for several ask for each (default body)", Choices: []string{"body", "eyes", "lips"}, To: &in.Area}
}

func (in *Input) drawerField() Field {
	return drawerField(&in.Drawer, "your drawer, a CSV file (default the built-in one)")
}

// alsoField is for a maker whose own drawer does not reach yet.
func (in *Input) alsoField() Field {
	return Field{Name: "also-built-in", Words: "beside the powders of your own drawer, those of the built-in one", To: &in.AlsoBuiltin}
}

func drawerField(to *string, says string) Field {
	return Field{Name: "drawer", Words: says, Lists: "csv", To: to}
}

func (in *Input) powderGroup() Group {
	return Group{Title: "Powders", Fields: []Field{
		in.drawerField(),
		in.alsoField(),
		{Name: "load", Words: "all powders together, % w/w of the product, exactly (default 3, in a spray 0.6)", Unit: "% w/w", High: film.MaxLoad, Above: true, Not: rule{"load-max": "and {load-max} are both given; one is accepted"}, To: &in.Load},
		{Name: "load-max", Words: "instead of load: at most this much", Unit: "% w/w", High: film.MaxLoad, Above: true, To: &in.LoadMax},
		{Name: "load-min", Words: "with load-max: at least this much", Unit: "% w/w", High: film.MaxLoad, Needs: rule{"load-max": "needs {load-max}"}, To: &in.LoadMin},
		{Name: "max", Words: "most powders in a blend, 1 to 4 (default 3)", Low: 1, High: search.MostPowders, To: &in.Most},
		{Name: "keep", Words: "how many blends that look different to report (default 5)", Low: 1, High: 100, To: &in.Keep},
		{Name: "twins", Words: "show the blends that look like those reported too", To: &in.Twins},
		{Name: "only", Words: "choose from these powders only", Lists: "powders", Commas: true, To: &in.Only},
		{Name: "without", Words: "leave these powders out", Lists: "powders", Commas: true, To: &in.Without},
		{Name: "use", Words: "powders every blend must hold", Lists: "powders", Commas: true, To: &in.Must},
		{Name: "at-most", Words: "limit a powder: 'pale gold=1.5' (% w/w of the product)", Lists: "powder=", To: &in.AtMost},
		{Name: "at-least", Words: "require a powder: 'pale gold=0.5'", Lists: "powder=", To: &in.AtLeast},
		{Name: "in-stock", Words: "keep each powder to the grams on hand: of the lots in the book, else of the drawer", To: &in.InStock},
		{Name: "cost-max", Words: "most the powders of 100 g may cost", High: 1e6, Above: true, To: &in.CostMax},
	}, Check: in.checkLoads}
}

func (in *Input) checkLoads(func(string) bool) error {
	if in.LoadMax > 0 && in.LoadMin > in.LoadMax {
		return faultf("load-min", "is %g %%, over {load-max} %g %%", in.LoadMin, in.LoadMax)
	}
	return nil
}

func (in *Input) baseField() Field {
	return Field{Name: "base", Words: "base the powders go into: its name, a CSV file or your recipe in a .txt file or after recipe: (default " + DefaultBase + ")", Lines: true, Lists: "base", To: &in.Base}
}

func (in *Input) batchGroup() Group {
	return Group{Title: "Batch", Fields: append([]Field{in.baseField(),
		{Name: "balance", Words: "smallest step of the balance in grams (default 0.01)", Unit: "g", Low: 1e-5, High: 10, To: &in.Balance},
		in.nozzleField(),
	}, in.sizeFields()...), Check: in.checkSize}
}

func (in *Input) nozzleField() Field {
	return Field{Name: "nozzle-um", Words: "smallest passage of a spray's nozzle (default a usual fine-mist pump's)", Unit: "µm", High: 5000, To: &in.Bench.NozzleUM}
}

func (in *Input) sizeFields() []Field {
	return []Field{
		{Name: "grams", Words: "size of the batch in grams (default 100)", Unit: "g", Low: 1, High: 1e6, Not: rule{"containers": "and {containers} are both given; one is accepted"}, To: &in.Grams},
		{Name: "containers", Words: "instead of grams: how many containers", Low: 1, High: 1e5, To: &in.Containers},
		{Name: "ml", Words: "content of one container in ml, with containers", Unit: "ml", High: 1e5, Above: true, Needs: rule{"containers": "is the content of how many containers? give {containers} too"}, To: &in.ML},
		{Name: "samples", Words: "containers to keep, made over and above those to sell (default one of them is kept closed, and what the jars of the log take is filled from others)", High: 100, To: &in.Bench.Samples},
	}
}

const sizeWanted = "are of what size? give {ml} too"

func (in *Input) checkSize(given func(string) bool) error {
	switch {
	case in.Containers > 0 && in.ML == 0 && !given("batch"): // the book's know
		return faultf("containers", sizeWanted)
	case in.Containers > 0 && in.ML > 0:
		// Of any base this is about as many grams.
		if all := float64(in.Containers) * in.ML; all < 1 || all > 1e6 {
			return faultf("ml", "is %g; %s of it would hold %.4g ml in all, and 1 to 1e+06 ml is accepted", in.ML, plural(in.Containers, "container"), all)
		}
	}
	return nil
}

// matchGroups are those of a job that finds blends.
func (in *Input) matchGroups(more ...Group) []Group {
	return append([]Group{in.skinGroup(), in.shadeGroup(), in.wornGroup(), in.powderGroup(), in.batchGroup(), in.lightGroup()}, more...)
}

func (in *Input) benchGroup() Group {
	k := &in.Bench
	return Group{Title: "Bench", Fields: append([]Field{
		codeField(&k.Code),
		{Name: "filler", Words: "ingredient that gives way to the powders (default the base's own)", To: &k.Filler},
		{Name: "closure", Words: "closure of the containers (default the usual)", To: &k.Closure},
		{Name: "lot-until", Words: "day the first of its lots to run out is good until: 2027-03 (default as the book has it)", To: &k.LotUntil},
		{Name: "overfill", Words: "given over the nominal content, per cent of it (default 1)", Unit: "%", High: 50, To: &k.Overfill},
		{Name: "loss", Words: "left on pans and tools, per cent of the batch (default 4)", Unit: "%", High: 50, To: &k.Loss},
		{Name: "prices", Words: "price list, a CSV file; adds the cost", Lists: "csv", To: &k.Prices},
		{Name: "margin", Words: "margin, per cent of the selling price", Unit: "%", High: 99, Needs: rule{"prices": "needs a price list; give {prices}", "containers": "gives the price of a container; give {containers} and {ml} instead of grams"}, To: &k.Margin},
		{Name: "labour-hours", Words: "hours of work", Unit: "hours", High: 1000, Needs: rule{"prices": "needs a price list; give {prices}"}, To: &k.Labour},
	}, k.scentFields()...)}
}

func (k *Bench) scentFields() []Field {
	scented := rule{"scent": "needs a scent, such as 'bergamot=0.3'"}
	return []Field{
		{Name: "scent", Words: "scent and its share: 'bergamot=0.3' (% w/w of the product)", To: &k.Scent},
		{Name: "scent-limit", Words: "most its own certificate allows, per cent", Unit: "%", High: 100, Needs: scented, To: &k.ScentLimit},
		{Name: "allergen", Words: "an allergen of the scent: 'Linalool=12' (% of the scent); repeatable", Needs: scented, To: &k.Allergens},
	}
}

func partField(to *[]string) Field {
	return Field{Name: "part", Words: "a powder of the blend: 'pale gold=2' (% w/w of the product); repeatable", Lists: "powder=", To: to}
}

func titleField(to *string, words string) Field {
	// 200 letters are ten lines of a card's heading.
	return Field{Name: "title", Words: words, Unit: letters, High: 200, To: to}
}

func codeField(to *string) Field {
	return Field{Name: "code", Words: "batch code (default a line to write it on)", To: to}
}

func noteField(to *string) Field {
	return Field{Name: "note", Words: "a note in your own words", To: to}
}

func formatField(to *string) Field {
	*to = "text"
	return Field{Name: "format", Words: "of the batch sheet: " + orList(SheetFormats), Choices: SheetFormats, To: to}
}

// outField is the folder files are written into; only a command line has one.
func outField(usual string) Field {
	return Field{Name: "out", Words: "folder to write the files into", Lists: "folder", Local: true, To: &usual}
}

// words are the words of a command line, in their order.
func words(fields ...Field) Group { return Group{Fields: fields} }

func fileArg(what string, to *string) Field {
	return Field{Name: "file", Words: what + " is accepted", Arg: true, Lists: "file", To: to}
}

// nameArg is a word that is likely to have spaces in it.
func nameArg(name, what string, to any) Field {
	return Field{Name: name, Words: what + " is accepted", Arg: true, To: to}
}

func colourArg(what string, to *string) Field {
	return Field{Name: "colour", Words: what + " is accepted", Arg: true, Lists: "skin", To: to}
}
