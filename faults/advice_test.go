package faults

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"bellout/model"
)

// What nobody can do, or reads wrong, in any advice. Common practice.
var misleading = map[string]*regexp.Regexp{
	"volts of a machine that is off":   regexp.MustCompile(`Leave the (power|machine) off[^.]*\.? ?[^.]* measure the volts`),
	"another word for swapped":         regexp.MustCompile(`(?i)changed over|change [^.]{1,40} over\b|changes [^.]{1,40} over\b`),
	"more than three figures":          regexp.MustCompile(`\b\d+\.\d{3,}[1-9]|\b[1-9]\d*\.\d{3,}|\b[1-9]\d\.\d{2,}|\b[1-9]\d{2,}\.\d`),
	"a chance of nothing":              regexp.MustCompile(`\b0 %`),
	"under 0.5 ohm as open":            regexp.MustCompile(`(below|under) 0\.5 ohm (is|means) (open|blown)|OL (acquits|is sound)`),
	"a protective conductor is lifted": regexp.MustCompile(`(?i)(lift|undo|take off) [^.]{0,40}protective`),
}

func TestAdviceMisleadsNobody(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(machinesDir, "planted", "*.txt"))
	if err != nil {
		t.Fatal(err)
	}
	heard := map[string]bool{}
	for _, file := range files {
		m := model.NewMachine()
		machineFile(t, m, "sound.txt")
		machineFile(t, m, filepath.Join("planted", filepath.Base(file)))
		for _, f := range Check(m).Findings {
			heard[f.Rule] = true
			text := strings.ReplaceAll(f.Headline+". "+f.Message+" "+f.Advice, "Lift no protective", "")
			for what, wrong := range misleading {
				if found := wrong.FindString(text); found != "" {
					t.Errorf("%s, %s: %s: %q in %s", filepath.Base(file), f.Rule, what, found, text)
				}
			}
		}
	}
	if len(heard) < len(Rules) {
		t.Errorf("only %d of %d rules were heard", len(heard), len(Rules))
	}
}
