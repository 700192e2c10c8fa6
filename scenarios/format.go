package scenarios

// Version is the version of every format that this program reads.
const Version = 1

// Kind is what a file describes. It stands in the file itself, under "kind".
type Kind string

// The kinds of file.
const (
	KindScenario   Kind = "scenario"
	KindCraft      Kind = "craft"
	KindRoom       Kind = "room"
	KindLaw        Kind = "law"
	KindProcedures Kind = "procedures"
	KindScript     Kind = "script"
	KindCourse     Kind = "course"
	KindMatrix     Kind = "matrix"
)

// Kinds lists the kinds in the order in which a scenario names them, then the
// script of a pilot, the course and the matrix, which no scenario names.
func Kinds() []Kind {
	return []Kind{KindScenario, KindCraft, KindRoom, KindLaw, KindProcedures, KindScript, KindCourse, KindMatrix}
}

// format is the description of one kind of file with the checks that tie its
// fields together.
type format struct {
	kind  Kind
	dir   string // in the catalogue
	root  field
	rules []rule
}

// rule checks what no single field can show. It runs only when everything it
// needs is sound, so that one mistake is reported once.
type rule struct {
	needs []string
	check func(v *value, r *report)
}

var formats = []format{scenarioFormat(), craftFormat(), roomFormat(), lawFormat(), proceduresFormat(), scriptFormat(), courseFormat(), matrixFormat()}

func formatOf(kind Kind) *format {
	for i := range formats {
		if formats[i].kind == kind {
			return &formats[i]
		}
	}
	return nil
}

func kindWords() []string {
	words := make([]string, 0, len(formats))
	for _, k := range Kinds() {
		words = append(words, string(k))
	}
	return words
}

// document returns a root description: kind and version, then fields.
func document(kind Kind, doc string, fields ...field) field {
	head := []field{
		word("kind", []string{string(kind)}, "what this file describes").need(),
		integer("version", Version, Version, "version of the format").need(),
		sentence("title", "a short name for people").need(),
	}
	return group("", doc, append(head, fields...)...)
}
