package job

// desk is what the command line lends a job.
var desk = &Env{Files: Disk}

func blendOf(in Input) (*BlendResult, error) {
	in.env = desk
	return Blend(in)
}

func lotOf(in LotInput) (*LotResult, error) {
	in.env = desk
	return Lot(in)
}
