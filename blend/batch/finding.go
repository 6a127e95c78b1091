package batch

// Severity orders findings.
type Severity string

// From worst to mildest.
const (
	Stop   Severity = "stop"   // do not make or sell it like this
	Fault  Severity = "fault"  // wrong, mend it
	Advice Severity = "advice" // look at this
	Note   Severity = "note"   // worth knowing, nothing to mend
)

// Finding is one thing the checks have to say, in plain words, with the
// article, section or "common practice" it rests on.
type Finding struct {
	Severity Severity `json:"severity"`
	About    string   `json:"about"` // ingredient, powder or key
	Text     string   `json:"text"`
	Source   string   `json:"source"`
	Line     int      `json:"line,omitempty"` // of the base's file
	Open     string   `json:"open,omitempty"` // what of the product's list is not known or not checked, in a few words
}

// ToMend reports whether nothing may be sold or worn with it.
func (f Finding) ToMend() bool { return f.Severity == Stop || f.Severity == Fault }
