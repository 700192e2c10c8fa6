package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/foxglove/mcap/go/mcap"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
)

// Goal: what people type does what they read in the help. Method: the program
// as it is built, and one script for each verb in testdata/script; besides testscript's own commands there are
//
//	exits CODES PROGRAM ARG…   run a program and hold it to its exit code, one of
//	                           some: 0,1 where the verdict does not matter
//	validate SCHEMA FILE       hold a JSON file to a JSON Schema
//	$LAWS                      the folder of the worked laws
//	copy-of KIND NAME FILE     write a file of the catalogue
//	tamper IN OUT CHANGE       change a recording: hands=NUMBER@SECOND (so many
//	                           messages from then on), newer, or cut=BYTES
func TestScripts(t *testing.T) {
	bin := t.TempDir()
	compile := exec.Command("go", "build", "-buildvcs=false", "-o", filepath.Join(bin, "lapwing"), ".")
	compile.Env = append(os.Environ(), "CGO_ENABLED=0")
	text, err := compile.CombinedOutput()
	require.NoError(t, err, string(text))
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", "script"),
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			laws, err := filepath.Abs(filepath.Join("..", "..", "testdata", "laws"))
			if err != nil {
				return err
			}
			env.Setenv("LAWS", laws)
			env.Setenv("PATH", bin+string(os.PathListSeparator)+env.Getenv("PATH"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":    scriptExits,
			"validate": scriptValidate,
			"copy-of":  scriptCopyOf,
			"tamper":   scriptTamper,
		},
		Condition: func(cond string) (bool, error) {
			path, ok := strings.CutPrefix(cond, "has:")
			if !ok {
				return false, errors.New("unknown condition")
			}
			_, err := os.Stat(path)
			return err == nil, nil
		},
	})
}

func scriptExits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODES PROGRAM ARG…")
	}
	code := 0
	var failed *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &failed) {
		code = failed.ExitCode()
	} else {
		ts.Check(err)
	}
	if !slices.Contains(strings.Split(args[0], ","), strconv.Itoa(code)) {
		ts.Fatalf("%s: exit code %d, want %s", strings.Join(args[1:], " "), code, args[0])
	}
}

func scriptValidate(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: validate SCHEMA FILE")
	}
	schema, err := jsonschema.UnmarshalJSON(strings.NewReader(ts.ReadFile(args[0])))
	ts.Check(err)
	compiler := jsonschema.NewCompiler()
	ts.Check(compiler.AddResource("it.json", schema))
	compiled, err := compiler.Compile("it.json")
	ts.Check(err)
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(ts.ReadFile(args[1])))
	ts.Check(err)
	if err := compiled.Validate(value); (err != nil) != neg {
		ts.Fatalf("%s: %v", args[1], err)
	}
}

func scriptCopyOf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: copy-of KIND NAME FILE")
	}
	doc, err := scenarios.Catalogue().Find(scenarios.Kind(args[0]), args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), doc.Text, 0o644))
}

func scriptTamper(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: tamper IN OUT CHANGE")
	}
	whole := []byte(ts.ReadFile(args[0]))
	var changed []byte
	if cut, ok := strings.CutPrefix(args[2], "cut="); ok {
		n, err := strconv.Atoi(cut)
		ts.Check(err)
		changed = whole[:n]
	} else {
		var err error
		changed, err = tampered(whole, args[2])
		ts.Check(err)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), changed, 0o644))
}

// tampered writes a recording's messages anew, some of them changed.
func tampered(whole []byte, change string) ([]byte, error) {
	lexer, err := mcap.NewLexer(bytes.NewReader(whole))
	if err != nil {
		return nil, err
	}
	defer lexer.Close()
	var out bytes.Buffer
	w, err := mcap.NewWriter(&out, &mcap.WriterOptions{Chunked: true, Compression: mcap.CompressionZSTD})
	if err != nil {
		return nil, err
	}
	err = w.WriteHeader(&mcap.Header{})
	topics := map[uint16]string{}
	edit := editor(change)
	for err == nil {
		token, record, lexErr := lexer.Next(nil)
		switch {
		case lexErr != nil:
			return nil, lexErr
		case token == mcap.TokenDataEnd:
			err := w.Close()
			return out.Bytes(), err
		case token == mcap.TokenSchema:
			schema, parseErr := mcap.ParseSchema(record)
			err = errors.Join(parseErr, w.WriteSchema(schema))
		case token == mcap.TokenChannel:
			channel, parseErr := mcap.ParseChannel(record)
			topics[channel.ID] = channel.Topic
			err = errors.Join(parseErr, w.WriteChannel(channel))
		case token == mcap.TokenMessage:
			message, parseErr := mcap.ParseMessage(record)
			edit(topics[message.ChannelID], message)
			err = errors.Join(parseErr, w.WriteMessage(message))
		}
	}
	return nil, err
}

var rollOfHands = regexp.MustCompile(`"roll":-?[0-9]+`)

// editor returns what changes a recording's messages.
func editor(change string) func(topic string, m *mcap.Message) {
	var left int
	var from uint64
	_, notHands := fmt.Sscanf(change, "hands=%d@%d", &left, &from)
	return func(topic string, m *mcap.Message) {
		switch {
		case notHands == nil && left > 0 && topic == "hands" && m.LogTime >= from*1e9:
			m.Data = rollOfHands.ReplaceAll(m.Data, []byte(`"roll":321`))
			left--
		case change == "newer" && topic == "rehearsal":
			m.Data = bytes.Replace(m.Data, []byte(`"format":1`), []byte(`"format":2`), 1)
		}
	}
}

// Goal: every verb's help has an example that begins with the program's name.
func TestEveryVerbShowsAnExample(t *testing.T) {
	for _, cmd := range newRoot(nil, nil, nil).Commands() {
		if cmd.Name() == "help" {
			continue
		}
		code, out, errOut := typed(cmd.Name(), "--help")
		require.Equal(t, exitGo, code, errOut)
		require.Contains(t, out, "Examples:\n  lapwing "+cmd.Name(), cmd.Name())
	}
}
