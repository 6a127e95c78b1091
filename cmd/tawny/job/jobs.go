package job

// Jobs are all there are, in the order of the help. One without New is a topic
// that only holds others.
var Jobs = []*Job{
	matchJob, compareJob, rangeJob, mendJob, cardJob, chartJob, batchJob, labelsJob, reorderJob,
	baseTopic, baseListJob, baseShowJob, baseAddJob, baseCheckJob,
	skinJob,
	drawerJob, drawerShowJob, drawerAddJob, drawerEditJob, drawerRemoveJob,
	flakeJob, readJob, photoJob, fitJob, lotJob,
	bookTopic, bookListJob, bookShowJob,
	bookAddTopic, bookAddClientJob, bookAddReadingJob, bookAddLotJob, bookAddPowderJob, bookAddSkinJob, bookAddPhotoJob,
	bookSaveJob, bookWeighJob, bookMendRecordJob, bookAgainJob,
	bookStockJob, bookCountJob, bookMoveJob, bookUsesJob, bookClientJob, bookForgetJob, bookEditJob, bookDeleteJob,
	liveJob, armJob, shadesJob,
	bookExportJob, bookImportJob, bookBackupJob, bookRestoreJob, bookCheckJob,
}

// Find returns the job of a name, or nil.
func Find(name string) *Job {
	for _, j := range Jobs {
		if j.Name == name {
			return j
		}
	}
	return nil
}
