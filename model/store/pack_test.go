package store

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"regexp"
	"strings"
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

func TestAnEditThatUnpacksIntoTheWholeMemory(t *testing.T) {
	defer func(was int64) { freeOfExpansion = was }(freeOfExpansion)
	freeOfExpansion = 1 << 16
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err := io.Copy(w, io.LimitReader(blanks{}, 10<<20))
	must(t, errors.Join(err, w.Close()))
	if _, err := unpackEdit("gzip", packed.Bytes()); err == nil || !strings.Contains(err.Error(), "which no edit does") {
		t.Errorf("%d bytes that are 10 MB: %v", packed.Len(), err)
	}
	form, body, err := packEdit(fullSize())
	must(t, err)
	changes, err := unpackEdit(form, body)
	if must(t, err); len(changes) != len(fullSize().Changes) {
		t.Errorf("%d changes came back", len(changes))
	}
}

// blanks is a text of nothing else, without end.
type blanks struct{}

func (blanks) Read(into []byte) (int, error) {
	for i := range into {
		into[i] = ' '
	}
	return len(into), nil
}
