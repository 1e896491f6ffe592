// Package job runs what takes longer than a request may: a bounded queue of jobs, each with
// its state, progress and results.
//
// So many jobs run at a time and so many wait; another one is refused. A job's results are
// kept for a time and up to a number of bytes, the oldest going first, in a folder or,
// without one, in memory.
//
// # Folder
//
//	lock                    held by the one process that runs the jobs
//	0f3a.../request.json    what was asked
//	0f3a.../job.json        what has become of it; a job is kept once this is there
//	0f3a.../result-NAME     its results
//
// # What is promised
//
// When Submit returns without an error, the job outlasts the process and, in a folder, a
// loss of power. A job that was running when the process ended is begun again: jobs only
// compute, so that beginning again changes nothing but the time. One that was begun
// MaxStarts times without an end has failed, so that a job that ends the process does not do
// so for ever. A job that is done has all its results. The progress of a job and who listens
// to it are not kept.
package job
