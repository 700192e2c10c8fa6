// Package rounds flies the cases of a matrix, many at a time, and keeps what is
// left of each where no kill can lose it.
//
//  1. cases.go ties a matrix to the files it names and counts its cases
//  2. fly.go flies one case; whatever goes wrong in it is an error of that case
//  3. folder.go is the folder that results are kept in; line.go a line of it
//  4. run.go flies what a folder still lacks, on all cores
//  5. shard.go takes a part of the cases, and merge.go puts the parts together
//  6. table.go, junit.go and parquet.go tell the results
//
// It stands apart because package trials knows neither files nor folders. How the
// bytes of results are kept the same through kills and shards: a case is a function
// of its number, a line is a function of its case, and the finished file holds the
// lines in order.
package rounds
