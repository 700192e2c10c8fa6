package guest

import "lapwing/sim/control"

// Source says where a law from outside comes from: the bytes of a module, or a
// command. The zero value is the built-in law.
type Source struct {
	Stage   control.Stage
	Name    string   // of the module's file, for people
	Module  []byte   // WebAssembly, nil for a process
	Command []string // program and arguments, nil for a module
	Dir     string   // folder in which the command runs
}

// Outside tells whether the law comes from outside at all.
func (s *Source) Outside() bool { return s.Stage != control.BuiltIn }
