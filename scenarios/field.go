package scenarios

import (
	"strconv"
	"strings"
)

// fieldKind is what a field holds.
type fieldKind uint8

const (
	kindNumber  fieldKind = iota // a finite number in the field's unit
	kindInteger                  // a whole number
	kindFlag                     // true or false
	kindText                     // a sentence or more
	kindName                     // small letters, digits and hyphens
	kindDate                     // year-month-day
	kindWord                     // one of words
	kindVector                   // three numbers along x, y, z
	kindList                     // a list of item
	kindGroup                    // named fields
	kindVariant                  // named fields, which ones depends on the word at key
	kindEither                   // one of several groups or variants, told apart by the key that stands there
)

// field describes one key of a file. The descriptions of format_*.go are the
// one source for reading, for the errors and for the published schemas.
type field struct {
	name     string // without the unit
	unit     string // key suffix of units, "" for none
	kind     fieldKind
	min, max float64 // allowed range of numbers, in the unit
	words    []string
	required bool
	fallback any // float64, bool or string that stands for an absent optional field; nil: absent stays absent
	minItems int
	maxItems int
	item     *field
	fields   []field
	key      string // of a variant: the name of the deciding word
	cases    []variantCase
	forms    []field // of kindEither: groups and variants, each named by the key that tells it from the others
	doc      string
}

// variantCase is one form of a variant.
type variantCase struct {
	word   string
	doc    string
	fields []field
}

// fullName returns the key as it stands in the file: name and unit.
func (f *field) fullName() string {
	if f.unit == "" {
		return f.name
	}
	return f.name + "_" + f.unit
}

// find returns the field with the given full name among fields.
func find(fields []field, fullName string) *field {
	for i := range fields {
		if fields[i].fullName() == fullName {
			return &fields[i]
		}
	}
	return nil
}

func (f field) need() field    { f.required = true; return f }
func (f field) or(x any) field { f.fallback = x; return f }

func number(name, unit string, lo, hi float64, doc string) field {
	return field{name: name, unit: unit, kind: kindNumber, min: lo, max: hi, doc: doc}
}

func integer(name string, lo, hi float64, doc string) field {
	return field{name: name, kind: kindInteger, min: lo, max: hi, doc: doc}
}

func truth(name, doc string) field { return field{name: name, kind: kindFlag, doc: doc} }

func sentence(name, doc string) field { return field{name: name, kind: kindText, doc: doc} }

func reference(name, doc string) field { return field{name: name, kind: kindName, doc: doc} }

func date(name, doc string) field { return field{name: name, kind: kindDate, doc: doc} }

func word(name string, words []string, doc string) field {
	return field{name: name, kind: kindWord, words: words, doc: doc}
}

func vector(name, unit string, lo, hi float64, doc string) field {
	return field{name: name, unit: unit, kind: kindVector, min: lo, max: hi, doc: doc}
}

func list(name string, least, most int, item field, doc string) field {
	return field{name: name, kind: kindList, minItems: least, maxItems: most, item: &item, doc: doc}
}

func group(name, doc string, fields ...field) field {
	return field{name: name, kind: kindGroup, fields: fields, doc: doc}
}

func variant(name, key, doc string, cases ...variantCase) field {
	return field{name: name, kind: kindVariant, key: key, cases: cases, doc: doc}
}

// either is a group in one of several forms. A form has no name of its own: its
// name is the key by which it is known, its first field or a variant's word.
func either(name, doc string, forms ...field) field {
	return field{name: name, kind: kindEither, forms: forms, doc: doc}
}

func form(word, doc string, fields ...field) variantCase {
	return variantCase{word: word, doc: doc, fields: fields}
}

// allowed says in words what f may hold.
func (f *field) allowed() string {
	switch f.kind {
	case kindNumber, kindInteger:
		return f.rangeWords()
	case kindFlag:
		return "true or false"
	case kindText:
		return "text of at most " + strconv.Itoa(maxText) + " characters, quoted where it looks like something else"
	case kindName:
		return "a name of small letters, digits and hyphens"
	case kindDate:
		return "a date as 2026-11-25"
	case kindWord:
		return strings.Join(f.words, ", ")
	case kindVector:
		return "a list of 3 numbers, each " + f.rangeWords()
	case kindList:
		return "a list of " + strconv.Itoa(f.minItems) + " to " + strconv.Itoa(f.maxItems)
	case kindVariant:
		return "a group with the key " + f.key
	case kindEither:
		return "a group with one of the keys " + strings.Join(f.formKeys(), ", ")
	}
	return "a group of keys"
}

func (f *field) rangeWords() string {
	lo := strconv.FormatFloat(f.min, 'g', -1, 64)
	hi := strconv.FormatFloat(f.max, 'g', -1, 64)
	words := lo + " to " + hi
	if f.kind == kindInteger {
		words = "a whole number, " + words
	}
	if u := unitOf(f.unit); u.words != "" {
		words += " " + u.words
	}
	return words
}

// caseWords returns the words that decide between the forms of a variant.
func (f *field) caseWords() []string {
	words := make([]string, len(f.cases))
	for i := range f.cases {
		words[i] = f.cases[i].word
	}
	return words
}

// formKeys returns the keys that tell the forms of f apart.
func (f *field) formKeys() []string {
	keys := make([]string, len(f.forms))
	for i := range f.forms {
		keys[i] = f.forms[i].name
	}
	return keys
}
