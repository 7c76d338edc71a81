package textout

import (
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// What is read from JSON says what the page says, but for its line ends and tabs;
// everything else comes back as it was.
func TestJSONIsCleanedAsTextIs(t *testing.T) {
	p := New(nil, 0, false)
	texts := rapid.StringOf(rapid.SampledFrom([]rune("ab\"\\/u0<&é水\n\t\r\x00\x07\b\f\x1b[31m\x7f\u0085\u009b\u202e\u2066\u2028\u200b\ufffd")))
	rapid.Check(t, func(t *rapid.T) {
		text := texts.Draw(t, "text")
		encoded, err := json.Marshal(map[string]any{"note": text, text: []string{text}})
		if err != nil {
			t.Fatal(err)
		}
		clean := CleanJSON(append(encoded, '\n'))
		for _, r := range string(clean[:len(clean)-1]) {
			if unruly(r) {
				t.Fatalf("%+q in %q", r, clean)
			}
		}
		var read map[string]any
		if err := json.Unmarshal(clean, &read); err != nil {
			t.Fatalf("%q: %v", clean, err)
		}
		got, _ := read["note"].(string)
		lines := strings.NewReplacer("\n", " ", "\t", " ", "\r", "?")
		if lines.Replace(got) != p.clean(text) {
			t.Fatalf("%q: JSON says %q, text says %q", text, got, p.clean(text))
		}
	})
	plain := []byte(`{"a":"b \"c\" \\u001b é"}`)
	if got := CleanJSON(plain); string(got) != string(plain) {
		t.Errorf("%s became %s", plain, got)
	}
}
