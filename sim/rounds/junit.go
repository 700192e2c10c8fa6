package rounds

import (
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"lapwing/sim/trials"
)

// The elements of the JUnit-style XML that build servers read: common practice, as
// described by the schema of the Apache Ant JUnit task, from memory. A failure is a
// missed criterion, an error is the program's or that of a law from outside, and
// what was void or only shown is skipped.
type (
	junitCase struct {
		XMLName xml.Name    `xml:"testcase"`
		Class   string      `xml:"classname,attr"`
		Name    string      `xml:"name,attr"`
		Time    string      `xml:"time,attr"` // s of simulated time: wall time would change the bytes
		Failure *junitWords `xml:"failure"`
		Error   *junitWords `xml:"error"`
		Skipped *junitWords `xml:"skipped"`
	}
	junitWords struct {
		Message string `xml:"message,attr"`
		Text    string `xml:",chardata"`
	}
)

// WriteJUnit writes the results of a finished folder as JUnit-style XML, each case
// that did not pass with the command that flies it again.
func WriteJUnit(dir, file string) error {
	head, err := ReadHead(dir)
	if err != nil {
		return err
	}
	var count Counter
	if err := Each(dir, func(r *trials.Result, _ []byte) error { count.Add(r.Outcome); return nil }); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	return writeWhole(file, func(to io.Writer) error {
		all := count.Passed + count.Failed + count.Errored + count.Voided + count.Unscored
		totals := fmt.Sprintf(`tests="%d" failures="%d" errors="%d" skipped="%d"`, all, count.Failed, count.Errored, count.Voided+count.Unscored)
		fmt.Fprintf(to, "%s<testsuites %s>\n<testsuite name=\"", xml.Header, totals)
		if err := xml.EscapeText(to, []byte(head.Title)); err != nil {
			return err
		}
		fmt.Fprintf(to, "\" %s>\n", totals)
		if err := Each(dir, func(r *trials.Result, _ []byte) error { return writeCase(to, &head, r) }); err != nil {
			return err
		}
		_, err := io.WriteString(to, "</testsuite>\n</testsuites>\n")
		return err
	})
}

func writeCase(to io.Writer, h *Head, r *trials.Result) error {
	c := junitCase{Class: r.Name(), Name: fmt.Sprintf("pilot %s, seed %d", r.Pilot, r.Seed), Time: fmt.Sprintf("%.3f", r.EndS)}
	words := &junitWords{Message: Why(r), Text: "Again: " + h.Again(r.ID)}
	switch r.Outcome {
	case trials.Passed:
	case trials.Failed:
		c.Failure = words
	case trials.Errored:
		c.Error = words
	default:
		c.Skipped = words
	}
	text, err := xml.Marshal(&c)
	if err != nil {
		return err
	}
	_, err = to.Write(append(text, '\n'))
	return err
}

// Why says in a sentence why a case did not pass.
func Why(r *trials.Result) string {
	switch {
	case r.Outcome == trials.Errored:
		return r.Error
	case len(r.WhyNot) > 0:
		return r.WhyNot[0]
	case r.Outcome == trials.Unscored:
		return "a demonstration: shown, not judged"
	}
	return string(r.Outcome)
}

// Again is the command that flies a case again and leaves its recording.
func (h *Head) Again(id int) string {
	return fmt.Sprintf("%s --case %d --out case-%d", h.Replay, id, id)
}
