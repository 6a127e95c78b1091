package canvas

// TrueType returns the embedded font's two files, for documents that are set
// elsewhere. Do not change them.
func TrueType() (regular, bold []byte) { return regularTTF, boldTTF }
