package page

// byCommand are the jobs that the page leaves to the command line, and why; those
// that read or write a file of the machine say so themselves. The page lists them.
var byCommand = map[string]string{
	"range":            "a plan for several skins at once, read at a table",
	"flake":            "a look into one coated flake",
	"fit":              "it wants files of drawdowns",
	"lot":              "it wants files of drawdowns",
	"base list":        "the bases are listed under Make",
	"base show":        "a base is shown by its sheet",
	"base check":       "what is found in a base stands on its sheet",
	"drawer":           "the powders are listed under Blend",
	"drawer show":      "all of a powder, by angle",
	"book add powder":  "a powder comes with its lot",
	"book add client":  "a client comes with a reading",
	"book add photo":   "it keeps a file of the machine",
	"book mend-record": "the page writes a mending as it is chosen",
	"book move":        "grams spilt or given away; counting puts a lot right too",
	"book check":       "it reads the whole book",
}
