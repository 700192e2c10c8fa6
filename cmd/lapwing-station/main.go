// Command lapwing-station is the window in which a trainee flies.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }
