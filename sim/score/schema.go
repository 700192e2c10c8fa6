package score

import (
	"encoding/json"
	"reflect"
	"strings"
)

// Schema returns the JSON Schema (draft 2020-12) of what `fly --json` prints. It
// is made from the Go types, so that it cannot fall behind them.
func Schema() []byte {
	result := schemaOf(reflect.TypeFor[Assessment]())
	text := map[string]any{"type": "string"}
	whole := map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"title":   "Result of a rehearsal. Times are seconds; null means that it never came.",
		"type":    "object",
		"properties": map[string]any{
			"scenario": text, "craft": text, "room": text, "pilot": text, "recording": text, "body_sha256": text,
			"seed": map[string]any{"type": "integer", "minimum": 0}, "result": result,
		},
		"required":             []string{"scenario", "craft", "room", "pilot", "seed", "result"},
		"additionalProperties": false,
	}
	out, err := json.MarshalIndent(whole, "", "  ")
	if err != nil {
		panic("score: " + err.Error())
	}
	return append(out, '\n')
}

func schemaOf(t reflect.Type) map[string]any {
	switch t.Kind() {
	case reflect.Pointer:
		inner := schemaOf(t.Elem())
		inner["type"] = []any{inner["type"], "null"}
		return inner
	case reflect.Struct:
		return schemaOfStruct(t)
	case reflect.Slice:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": schemaOf(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.String:
		if t == reflect.TypeFor[Verdict]() {
			return map[string]any{"type": "string", "enum": []any{Go, NoGo, Void, Unscored}}
		}
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	}
	return map[string]any{"type": "integer"}
}

func schemaOfStruct(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" {
			name = f.Name
		}
		properties[name] = schemaOf(f.Type)
		if !strings.Contains(options, "omitempty") {
			required = append(required, name)
		}
	}
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}
