package faults

import (
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/assets/lantern"
	"bellout/model"
	"bellout/model/sample"
)

// wellHeaded complains of a headline that is none: empty, too long, more than a
// line, a text that was put together wrongly, or one that holds evidence.
func wellHeaded(t interface{ Errorf(string, ...any) }, f Finding) {
	line := f.Headline
	switch {
	case line == "", utf8.RuneCountInString(line) >= 80, strings.ContainsAny(line, "\n\t"), strings.Contains(line, "%!"), strings.HasSuffix(line, "."),
		strings.Contains(strings.ToLower(line), "reading "), strings.Contains(line, "Evidence"), strings.TrimSpace(line) != line:
		t.Errorf("%s %s: the headline is %q (%d characters)", f.Rule, f.Severity, line, utf8.RuneCountInString(line))
	}
	if (f.Mode != "") != (f.Rule == nameFailedPart) {
		t.Errorf("%s has the mode %q", f.Rule, f.Mode)
	}
}

// Every rule says in one line what is wrong and where: on the machines that are
// damaged for it, on the demo machine, and on drawn machines with names as long as
// the map takes them.
func TestEveryFindingHasAHeadline(t *testing.T) {
	headed := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(machinesDir, "planted", "*.txt"))
	if err != nil || len(files) == 0 {
		t.Fatal(err, files)
	}
	for _, file := range files {
		m := model.NewMachine()
		machineFile(t, m, "sound.txt")
		machineFile(t, m, filepath.Join("planted", filepath.Base(file)))
		for _, f := range Check(m).Findings {
			wellHeaded(t, f)
			headed[f.Rule] = true
		}
	}
	for _, rule := range Rules {
		if !headed[rule.Name] {
			t.Errorf("no machine fires %s", rule.Name)
		}
	}
	for _, state := range []string{assets.AsFound, assets.AsRepaired} {
		for _, f := range Check(lantern.Machine(t, state)).Findings {
			wellHeaded(t, f)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		for _, f := range Check(sample.Draw(t)).Findings {
			wellHeaded(t, f)
		}
	})
}

func TestHeadlineCutsLongNames(t *testing.T) {
	long := strings.Repeat("L", 70)
	for _, c := range []struct {
		format string
		names  []string
		want   string
	}{
		{"%s is open between %s and %s", []string{"W30", "T12:2", "E1:+"}, "W30 is open between T12:2 and E1:+"},
		{"%s is overloaded", []string{long}, ""},
		{"%s and %s are joined by %s", []string{long, "0V", long}, ""},
		{"%s and %s and %s and %s and %s and %s are all of them", []string{long, long, long, long, long, long}, ""},
	} {
		got := headline(c.format, c.names...)
		if c.want != "" && got != c.want || utf8.RuneCountInString(got) >= 80 || !strings.Contains(got, "…") && c.want == "" {
			t.Errorf("%q (%d)", got, utf8.RuneCountInString(got))
		}
		if len(c.names) > 1 && c.names[1] == "0V" && !strings.Contains(got, " 0V ") {
			t.Errorf("the short name is gone: %q", got)
		}
	}
}
