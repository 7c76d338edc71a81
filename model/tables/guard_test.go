package tables

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
)

func TestGuard(t *testing.T) {
	for text, want := range map[string]string{
		"=1+1": "'=1+1", "@SUM(A1)": "'@SUM(A1)", "+1+1": "'+1+1", "-2+3": "'-2+3", "-cmd|' /C calc'!A0": "'-cmd|' /C calc'!A0",
		"+A1": "'+A1", "-A1": "'-A1", "-$A$1": "'-$A$1", "+xfd1048576": "'+xfd1048576", "- B2": "'- B2", "+R1C1": "'+R1C1", "--A1": "'--A1", "-A1:B2": "'-A1:B2",
		"＝1+1": "'＝1+1", "＋A1": "'＋A1", "－1＋A1": "'－1＋A1", "＠x": "'＠x",
		"\t=1": "'\t=1", "'=1": "''=1", "''@x": "'''@x",
		// what stays: marks, numbers, words
		"": "", "+": "+", "-": "-", "=": "=", "+12V": "+12V", "-12": "-12", "-1E-5": "-1E-5", "--": "--", "+/-": "+/-", "+V": "+V", "-Vcc": "-Vcc", "+5V1": "+5V1", "＋": "＋", "-0.5": "-0.5", "-12V3": "-12V3", "A1": "A1", "a=b": "a=b", "'quoted'": "'quoted'", "007": "007",
	} {
		if got := Guard(text); got != want {
			t.Errorf("Guard(%q) = %q, want %q", text, got, want)
		}
		if got := Unguard(Guard(text)); got != text {
			t.Errorf("%q came back as %q", text, got)
		}
	}
}

// Whatever a title is, it comes back, and its cell never begins a formula.
func TestEveryTextComesBackAndNoCellIsAFormula(t *testing.T) {
	texts := rapid.StringMatching(`['=+@ \-]{0,3}[a-z0-9+(|! "',\n]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		title := texts.Draw(t, "title")
		m := model.NewMachine()
		m.Devices = []model.Device{{Ref: "E1", Title: title}}
		var out bytes.Buffer
		if err := WriteCSV(&out, Tables[1], m); err != nil {
			t.Fatal(err)
		}
		content := &Content{}
		if err := content.ReadCSV(context.Background(), Tables[1], bytes.NewReader(out.Bytes())); err != nil {
			t.Fatal(err)
		}
		if got := content.devices.list[0].Title; got != title {
			t.Fatalf("the title %q came back as %q from\n%s", title, got, out.String())
		}
		if cell := strings.TrimLeft(Guard(title), " \t\n"); len(cell) > 1 && (cell[0] == '=' || cell[0] == '@') {
			t.Fatalf("%q begins a formula", cell)
		}
	})
}
