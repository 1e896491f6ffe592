// Package postgres is a queue of jobs in a PostgreSQL database, that as many processes on as
// many machines share as there are: any of them takes jobs, tells of them and works.
//
// # Steps
//
// A job is done in steps, each by whichever worker is free. The first says into which
// parts the work falls; the parts are steps of their own; when the last of them is done, a last
// step makes the results. A kind that has no parts is done in the first step. What each step
// has made is kept until the job is over. River (riverqueue/river) hands the steps out: a step
// and River's job for it are made in one transaction. A step that is a part or the last goes before the
// first of another job, so that jobs are begun in the order of asking, once a worker is free.
//
// # A worker that is gone
//
// Each process has one connection on which it holds an advisory lock of its own number. Once a
// second one process looks for steps whose worker's lock is free: that process was killed or its
// machine is lost, and the step is given out again, at most job.MaxStarts times in all. The
// connection has keepalives, so that the database knows of a lost machine within half a
// minute. What River itself has lost, or has rescued after PartTime, is given out again too.
//
// A process that is stopped gives its steps back. One whose connection breaks goes on
// computing; should another have taken up the step meanwhile, the first to be done counts,
// since both make the same bytes.
//
// # What is promised
//
// When Submit returns without an error, the job is kept. A job that is done has all its
// results. The database's clock is not used: who waits longest goes by the number of the job,
// and its age by the clock of who looks.
package postgres
