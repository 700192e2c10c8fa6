package guest

import (
	"fmt"
	"strings"
)

// blocks are the three blocks by the names that they have in the C header.
var blocks = []struct {
	name, says string
	fields     []Field
}{
	{"lapwing_craft", "what a law is told once, before the first question", Craft},
	{"lapwing_question", "what a law receives each time it is asked", Question},
	{"lapwing_answer", "what a law returns; only the fields of its stage count, and they must be finite", Reply},
}

// Layout returns the three blocks as a table for people: offset, kind, name,
// meaning.
func Layout() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Version %d. Little-endian; double is IEEE 754, integer is signed; 8 bytes each, no gaps. SI, radians;\n"+
		"axes x forward, y left, z up; suffix w: room axes, b: body axes, wb: body to room.\n", Version)
	for _, block := range blocks {
		fmt.Fprintf(&b, "\n%s, %d bytes: %s\n", block.name, Size(block.fields), block.says)
		at := 0
		for _, f := range block.fields {
			fmt.Fprintf(&b, "  %5d  %-11s %-19s %s\n", at, f.kind(), f.Name, f.Doc)
			at += 8 * f.Count
		}
	}
	return b.String()
}

func (f *Field) kind() string {
	kind := "double"
	if f.Whole {
		kind = "integer"
	}
	if f.Count > 1 {
		kind += fmt.Sprintf(" ×%d", f.Count)
	}
	return kind
}

// Header returns the three blocks as a C header, with what a module must export.
func Header() string {
	var b strings.Builder
	b.WriteString(headerTop)
	for _, block := range blocks {
		fmt.Fprintf(&b, "\n/* %s: %d bytes. */\nstruct %s {\n", block.says, Size(block.fields), block.name)
		for _, f := range block.fields {
			kind, name := "double ", f.Name
			if f.Whole {
				kind = "int64_t"
			}
			if f.Count > 1 {
				name += fmt.Sprintf("[%d]", f.Count)
			}
			fmt.Fprintf(&b, "    %s %-20s /* %s */\n", kind, name+";", f.Doc)
		}
		b.WriteString("};\n")
	}
	for _, block := range blocks {
		fmt.Fprintf(&b, "\n_Static_assert(sizeof(struct %s) == %d, \"no gaps\");", block.name, Size(block.fields))
	}
	fmt.Fprintf(&b, headerEnd, Version)
	return b.String()
}

const headerTop = `/* A control law from outside, for Lapwing: printed by "lapwing law layout --header".
 * Little-endian, 8 bytes a field, no gaps. SI, radians; axes x forward, y left,
 * z up; suffix w: room axes, b: body axes, wb: body to room. */
#ifndef LAPWING_LAW_H
#define LAPWING_LAW_H

#include <stdint.h>
`

const headerEnd = `

#define LAPWING_VERSION %d

/* What a WebAssembly module exports besides its memory. It imports nothing.
 * The three addresses must not change. A result other than 0 is the law's own
 * number for what went wrong, and ends the run with an error. */
#define LAPWING_EXPORT(name) __attribute__((export_name(#name)))
LAPWING_EXPORT(law_version) int32_t law_version(void);                /* LAPWING_VERSION */
LAPWING_EXPORT(law_craft) struct lapwing_craft *law_craft(void);
LAPWING_EXPORT(law_question) struct lapwing_question *law_question(void);
LAPWING_EXPORT(law_answer) struct lapwing_answer *law_answer(void);
LAPWING_EXPORT(law_start) int32_t law_start(void);                    /* once, after the craft was written */
LAPWING_EXPORT(law_act) int32_t law_act(void);                        /* for each question */

#endif
`
