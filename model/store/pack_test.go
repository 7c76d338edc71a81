package store

import (
	"regexp"
	"testing"
)

// TestADamagedEditIsToldWithoutTheProgramsOwnWords: whoever reads it knows no types of
// the code.
func TestADamagedEditIsToldWithoutTheProgramsOwnWords(t *testing.T) {
	for _, body := range []string{`[{"table":7}]`, `{"a":1}`, `[{"table":"reading","after":{"value":{"Kind":1}}}]`, `7`} {
		_, err := unpackEdit("json", []byte(body))
		if err == nil {
			t.Errorf("%s is taken", body)
			continue
		}
		if regexp.MustCompile(`unmarshal|Go value|Go struct|model\.`).MatchString(err.Error()) {
			t.Errorf("%s: %v", body, err)
		}
	}
}
