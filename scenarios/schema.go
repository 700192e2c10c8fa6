package scenarios

import (
	"encoding/json"
	"fmt"
)

// Schema returns the published JSON Schema (draft 2020-12) of files of a kind.
// It comes from the same description that reads the files. What it cannot say
// is checked by the reader alone: duplicate keys, and whatever ties two fields
// or two files together.
func Schema(kind Kind) []byte {
	f := formatOf(kind)
	if f == nil {
		panic("scenarios: no format " + string(kind))
	}
	schema := groupSchema(f.root.fields)
	schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	schema["$id"] = fmt.Sprintf("urn:lapwing:%s:%d", kind, Version)
	schema["title"] = "lapwing " + string(kind)
	schema["description"] = f.root.doc
	text, err := json.MarshalIndent(schema, "", "  ")
	if err != nil {
		panic("scenarios: " + err.Error())
	}
	return append(text, '\n')
}

func schemaOf(f *field) map[string]any {
	s := typeSchema(f)
	doc := f.doc
	if u := unitOf(f.unit); u.words != "" {
		doc += " (" + u.words + ")"
	}
	if doc != "" {
		s["description"] = doc
	}
	if f.fallback != nil && f.kind != kindVector {
		s["default"] = f.fallback
	}
	return s
}

func typeSchema(f *field) map[string]any {
	switch f.kind {
	case kindNumber:
		return numberSchema(f, "number")
	case kindInteger:
		return numberSchema(f, "integer")
	case kindFlag:
		return map[string]any{"type": "boolean"}
	case kindText:
		return map[string]any{"type": "string", "minLength": 1, "maxLength": maxText}
	case kindName:
		return map[string]any{"type": "string", "pattern": namePattern}
	case kindDate:
		return map[string]any{"type": "string", "pattern": datePattern}
	case kindWord:
		return map[string]any{"type": "string", "enum": f.words}
	case kindVector:
		return map[string]any{"type": "array", "items": numberSchema(f, "number"), "minItems": 3, "maxItems": 3}
	case kindList:
		return map[string]any{"type": "array", "items": schemaOf(f.item), "minItems": f.minItems, "maxItems": f.maxItems}
	case kindVariant:
		forms := make([]any, len(f.cases))
		for i := range f.cases {
			forms[i] = groupSchema(f.cases[i].allFields(f.key))
		}
		return map[string]any{"oneOf": forms}
	case kindEither:
		forms := make([]any, len(f.forms))
		for i := range f.forms {
			forms[i] = schemaOf(&f.forms[i])
		}
		return map[string]any{"oneOf": forms}
	}
	return groupSchema(f.fields)
}

func numberSchema(f *field, kind string) map[string]any {
	return map[string]any{"type": kind, "minimum": f.min, "maximum": f.max}
}

func groupSchema(fields []field) map[string]any {
	properties, required := map[string]any{}, []string{}
	for i := range fields {
		properties[fields[i].fullName()] = schemaOf(&fields[i])
		if fields[i].required {
			required = append(required, fields[i].fullName())
		}
	}
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}
