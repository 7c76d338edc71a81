package command

import (
	"io"
	"slices"
	"testing"
	"time"
)

func TestNegativeNumbersAreNoFlags(t *testing.T) {
	root := newRoot(&Console{Out: io.Discard, Err: io.Discard, Now: time.Now})
	for _, row := range []struct{ args, want []string }{
		{[]string{"log", "f", "A:1", "B:1", "-0.3"}, []string{"log", "f", "A:1", "B:1", "\u22120.3"}},
		{[]string{"log", "-.5", "--json"}, []string{"log", "\u2212.5", "--json"}},
		{[]string{"log", "--note", "-5 after tea", "-5"}, []string{"log", "--note", "-5 after tea", "\u22125"}},
		{[]string{"log", "--note=-5", "--json", "-5"}, []string{"log", "--note=-5", "--json", "\u22125"}},
		{[]string{"log", "--", "-5"}, []string{"log", "--", "-5"}},
		{[]string{"export", "-o", "-5", "--as", "csv"}, []string{"export", "-o", "-5", "--as", "csv"}},
		{[]string{"log", "-x", "--nosuch"}, []string{"log", "-x", "--nosuch"}},
		{nil, []string{}},
	} {
		if got := shieldNumbers(root, row.args); !slices.Equal(got, row.want) {
			t.Errorf("%q became %q, want %q", row.args, got, row.want)
		}
	}
	if got := bare("\u22120.3"); got != "-0.3" {
		t.Errorf("bare gives %q", got)
	}
}

func TestAnErrorIsOneLine(t *testing.T) {
	if got := oneLine("no file \u202elmth.\u009b"); got != "no file ?lmth." {
		t.Errorf("a name that turns the line: %q", got)
	}
	if got := oneLine("wires.csv:\n\tno\x1b[31m terminal\r\n"); got != "wires.csv: no [31m terminal" {
		t.Errorf("got %q", got)
	}
}
