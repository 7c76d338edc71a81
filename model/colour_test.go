package model

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"
)

// published reads the colour codes that testdata/colours_iec60757.csv has with
// their source.
func publishedColours(t testing.TB) (rows []map[string]string) {
	t.Helper()
	file, err := os.Open("testdata/colours_iec60757.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close() //nolint:errcheck // read only
	all, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, column := range all[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func TestPublishedColourCodes(t *testing.T) {
	var singles []string
	for _, row := range publishedColours(t) {
		if row["kind"] != "colour" || row["basis"] != "published" {
			continue
		}
		code := row["code"]
		colour, err := ParseColour(code)
		if err != nil || string(colour) != code {
			t.Errorf("%s (%s, %s): %q, %v", code, row["meaning"], row["source"], colour, err)
		}
		// GOST 28763-90 note: lower case carries the same meaning.
		if lower, err := ParseColour(strings.ToLower(code)); err != nil || lower != colour {
			t.Errorf("%s: %q, %v", strings.ToLower(code), lower, err)
		}
		if colour != GreenYellow {
			singles = append(singles, code)
		}
	}
	if got, want := strings.Join(ColourCodes, " "), strings.Join(singles, " "); got != want {
		t.Errorf("codes %s, the published table has %s", got, want)
	}
}

func TestJoinedColours(t *testing.T) {
	cases := []struct {
		text, want, source string
	}{
		{"RDBU", "RDBU", "IEC 60757:2021 cl. 5.1 as given in testdata/colours_iec60757.csv"},
		{"BURD", "RDBU", "order of the table, same clause"},
		{"burd", "RDBU", "order of the table, same clause"},
		{"GNYE", "GNYE", "a code of its own, IEC 60757"},
		{"YEGN", "GNYE", "a code of its own, IEC 60757"},
		{" RD ", "RD", "white space of a cell"},
		{"OGYE", "OGYE", "the letters GY across the join are no grey"},
		{"", "", "not known"},
	}
	for _, c := range cases {
		if got, err := ParseColour(c.text); err != nil || string(got) != c.want {
			t.Errorf("%q: %q, %v; want %q (%s)", c.text, got, err, c.want, c.source)
		}
	}
	for _, bad := range []string{"R", "RED", "RDX", "XX", "RDRD", "RD BU", "RD/BU", "RD+BU", "ЯЯ", "GNYEX", "RD\x00"} {
		if got, err := ParseColour(bad); err == nil {
			t.Errorf("%q became %q", bad, got)
		}
	}
}

func FuzzParseColour(f *testing.F) {
	for _, seed := range []string{"RD", "RDBU", "gnye", "YEGNBU", "", "OGYE", "ŸE"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		colour, err := ParseColour(text)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("%q: the error has more than one line: %q", text, err)
			}
			return
		}
		if again, err := ParseColour(string(colour)); err != nil || again != colour {
			t.Errorf("%q became %q, and that %q, %v", text, colour, again, err)
		}
		wire := Wire{Name: "W1", From: TerminalRef{"A", "1"}, To: TerminalRef{"A", "2"}, Basis: BasisSeen, Colour: colour}
		if complaints := wire.Validate(); len(complaints) > 0 {
			t.Errorf("%q became %q, which Validate refuses: %v", text, colour, complaints)
		}
	})
}
