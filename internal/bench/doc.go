// Package bench writes large patterns and measures what isolating their sizes
// costs, as whole processes. The command compare, in the folder of that name,
// does all of it in one run:
//
//	go run ./internal/bench/compare
//
// Start with Workloads, which lists the files, and Workload.Write, which writes
// one: equal workloads give equal bytes. Floor is the least that any program
// with the job has to do, and Race runs programs one after another and tells
// how long they took and how much memory. Nothing here is for other programs.
package bench
