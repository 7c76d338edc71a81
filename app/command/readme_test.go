package command

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bellout/faults"
	"bellout/model"
	"bellout/model/tables"
)

const readmePath = "../../README.md"

// TestReadme runs every command that the README shows, in one folder from top
// to bottom, and compares what it prints; it also holds the README's tables to
// what the code says. A block of commands opens with ```console; in it
//
//	$ bellout ...   is run, what follows is its output
//	$ cat FILE      writes what follows into FILE
//	...             as the last line of an output leaves the rest of it out
//
// With -update the README gets what the code says now.
func TestReadme(t *testing.T) {
	readme, err := filepath.Abs(readmePath)
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	renewed := renewTables(t, string(text))
	renewed = renewConsole(t, renewed)
	if renewed == string(text) {
		return
	}
	if *update {
		if err := os.WriteFile(readme, []byte(renewed), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	old, now := strings.Split(string(text), "\n"), strings.Split(renewed, "\n")
	for i := range min(len(old), len(now)) {
		if old[i] != now[i] {
			t.Fatalf("README.md line %d says\n\t%s\nbut the code says\n\t%s\nRun go test ./app/command -run Readme -update and look at what changed.", i+1, old[i], now[i])
		}
	}
	t.Fatalf("README.md has %d lines, the code says %d; run go test ./app/command -run Readme -update", len(old), len(now))
}

// renewTables writes the tables that stand between markers of a name.
func renewTables(t *testing.T, text string) string {
	t.Helper()
	for name, rows := range map[string][][]string{
		"commands": commandTable(), "files": fileTable(), "settings": settingTable(), "rules": ruleTable(),
	} {
		begin, end := "<!-- begin "+name+" -->\n", "<!-- end "+name+" -->"
		head, rest, found := strings.Cut(text, begin)
		_, tail, ended := strings.Cut(rest, end)
		if !found || !ended {
			t.Fatalf("README.md has no table between %s and %s", strings.TrimSpace(begin), end)
		}
		text = head + begin + markdown(rows) + end + tail
	}
	return text
}

func markdown(rows [][]string) string {
	var out strings.Builder
	for i, row := range rows {
		for _, cell := range row {
			out.WriteString("| " + strings.ReplaceAll(cell, "|", `\|`) + " ")
		}
		out.WriteString("|\n")
		if i == 0 {
			out.WriteString(strings.Repeat("| --- ", len(row)) + "|\n")
		}
	}
	return out.String()
}

func commandTable() [][]string {
	rows := [][]string{{"command", "what it does"}}
	root := newRoot(&Console{Out: io.Discard, Err: io.Discard, Now: time.Now})
	rows = append(rows, []string{"`bellout [FILE]`", "the window on FILE, or on the file that was open last; without a display that takes one what `check` says of FILE"})
	for _, cmd := range root.Commands() {
		if cmd.IsAvailableCommand() {
			rows = append(rows, []string{"`bellout " + cmd.Use + "`", cmd.Short})
		}
	}
	return rows
}

func fileTable() [][]string {
	rows := [][]string{{"file", "columns"}}
	for _, table := range tables.Tables {
		rows = append(rows, []string{"`" + table.File() + "`", "`" + strings.Join(table.Header(), "`, `") + "`"})
	}
	return rows
}

func settingTable() [][]string {
	rows := [][]string{{"setting", "default", "what it is"}}
	for _, key := range model.SettingKeys {
		value := defaultSettings[key].value
		if value == "" {
			value = "(empty)"
		}
		rows = append(rows, []string{"`" + key + "`", value, defaultSettings[key].what})
	}
	return rows
}

var defaults = model.DefaultSettings()

// defaultSettings says in words what each setting is.
var defaultSettings = map[string]struct{ value, what string }{
	model.KeyBeepBelowOhm:     {model.FormatNumber(defaults.BeepBelowOhms), "your meter beeps when what it sees, leads included, lies below this"},
	model.KeyLeadOhm:          {model.FormatNumber(defaults.LeadOhms), "what your leads read with the tips together; it is taken off every stored ohms value"},
	model.KeyJointLimitOhm:    {model.FormatNumber(defaults.JointLimitOhms), "a joint is bad when a reading lies this far above what the wires explain"},
	model.KeyDropLimitPercent: {model.FormatNumber(defaults.DropLimitPercent), "the drop out and back, in percent of the load's own volts, that is still well"},
	model.KeySupplyUsePercent: {model.FormatNumber(defaults.SupplyUseLimitPercent), "how much of a supply's limit its loads may use before it is a warning"},
	model.KeyAmbientC:         {model.FormatNumber(defaults.AmbientCelsius), "the temperature of the copper, in degrees Celsius"},
	model.KeyAmpacity:         {defaults.Ampacity, "another table of `assets/` for the current that a wire may be fused for; empty: AWG by FAA AC 43.13-1B Table 11-3, mm2 by IEC 60204-1 Table 6 column B2"},
}

func ruleTable() [][]string {
	rows := [][]string{{"rule", "when", "why it matters"}}
	for _, rule := range faults.Rules {
		rows = append(rows, []string{"`" + rule.Name + "`", rule.Title, strings.Join(strings.Fields(rule.Why), " ")})
	}
	return rows
}

// renewConsole runs the commands of the README and puts in what they print.
func renewConsole(t *testing.T, text string) string {
	t.Helper()
	t.Chdir(t.TempDir())
	parts := strings.Split(text, "```console\n")
	for i := 1; i < len(parts); i++ {
		block, rest, _ := strings.Cut(parts[i], "```")
		parts[i] = runBlock(t, block) + "```" + rest
	}
	return strings.Join(parts, "```console\n")
}

func runBlock(t *testing.T, block string) string {
	t.Helper()
	var out strings.Builder
	calls := strings.Split("\n"+block, "\n$ ")
	out.WriteString(strings.TrimPrefix(calls[0], "\n"))
	for _, call := range calls[1:] {
		line, shown, _ := strings.Cut(call, "\n")
		shown = strings.TrimSuffix(shown, "\n")
		words := splitWords(line)
		switch {
		case words[0] == "cat" && len(words) == 2:
			writeShown(t, words[1], shown)
		case words[0] == "bellout":
			shown = asShown(runWords(t, words[1:]), shown)
		default:
			t.Fatalf("README.md shows %q, which this test cannot run", line)
		}
		out.WriteString("$ " + line + "\n")
		if shown != "" {
			out.WriteString(shown + "\n")
		}
	}
	return out.String()
}

func writeShown(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

func runWords(t *testing.T, args []string) string {
	t.Helper()
	var out bytes.Buffer
	code := Run(context.Background(), args, Console{Out: &out, Err: &out, Now: clockAtNoon})
	if code == ExitBad {
		t.Fatalf("README.md shows bellout %s, which ends in: %s", strings.Join(args, " "), out.String())
	}
	return strings.TrimSuffix(out.String(), "\n")
}

// asShown cuts an output where the README cuts it.
func asShown(printed, shown string) string {
	if shown != "..." && !strings.HasSuffix(shown, "\n...") {
		return printed
	}
	keep := strings.Count(shown, "\n")
	lines := strings.Split(printed, "\n")
	if len(lines) <= keep {
		return printed
	}
	return strings.Join(append(lines[:keep:keep], "..."), "\n")
}

// splitWords splits a command line at spaces outside double quotes.
func splitWords(line string) []string {
	var words []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

func TestEveryRuleSaysWhy(t *testing.T) {
	for _, rule := range faults.Rules {
		for field, text := range map[string]string{"Title": rule.Title, "Why": rule.Why} {
			if strings.TrimSpace(text) == "" {
				t.Errorf("rule %s has no %s", rule.Name, field)
			}
		}
	}
}
