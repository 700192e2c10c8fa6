// Command lapwing flies rehearsals without a window: one at a time, scored and
// recorded, replayed and checked. It wires packages together and holds no
// knowledge of its own.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
