package store

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"bellout/model"
)

// largeEdit is the size, in bytes of JSON, from which an edit is kept
// compressed: below it, compressing saves no page.
const largeEdit = 4096

// packEdit returns an edit as it lies in the journal.
func packEdit(edit model.Edit) (form string, body []byte, err error) {
	var plain bytes.Buffer
	var packed *gzip.Writer
	var small bytes.Buffer
	out := io.Writer(&small)
	// Written change by change: a whole import as one JSON text would be in
	// memory several times.
	for i, change := range edit.Changes {
		text, err := change.MarshalJSON()
		if err != nil {
			return "", nil, err
		}
		if packed == nil && small.Len() > largeEdit {
			if packed, err = gzip.NewWriterLevel(&plain, gzip.BestSpeed); err != nil {
				return "", nil, err
			}
			if _, err := packed.Write(small.Bytes()); err != nil {
				return "", nil, err
			}
			out = packed
		}
		separator := ",\n"
		if i == 0 {
			separator = "["
		}
		if _, err := io.WriteString(out, separator); err != nil {
			return "", nil, err
		}
		if _, err := out.Write(text); err != nil {
			return "", nil, err
		}
	}
	if _, err := io.WriteString(out, "]"); err != nil {
		return "", nil, err
	}
	if packed == nil {
		return "json", small.Bytes(), nil
	}
	if err := packed.Close(); err != nil {
		return "", nil, err
	}
	return "gzip", plain.Bytes(), nil
}

// What a stranger packed may fill the whole memory: a text of one letter becomes a
// thousand times as large (RFC 1951, 258 bytes in two bits). The large import of the
// benchmarks becomes 14 times as large; up to freeOfExpansion, in bytes, nobody asks.
var (
	freeOfExpansion int64 = 256 << 20
	mostExpansion   int64 = 300
)

func unpackEdit(form string, body []byte) (changes []model.Change, err error) {
	if form == "gzip" {
		packed, err := gzip.NewReader(bytes.NewReader(body))
		if err != nil {
			return nil, err
		}
		most := max(freeOfExpansion, mostExpansion*int64(len(body)))
		if body, err = io.ReadAll(io.LimitReader(packed, most+1)); err != nil {
			return nil, err
		}
		if int64(len(body)) > most {
			return nil, fmt.Errorf("it unpacks into more than %d MB, which no edit does", most>>20)
		}
	}
	if err := json.Unmarshal(body, &changes); err != nil {
		if _, of := errors.AsType[*json.UnmarshalTypeError](err); of { // its words are the program's own
			err = errCell
		}
		return nil, err
	}
	return changes, nil
}

// packing is an edit that is being packed for the journal while its rows are
// written: for a large import that is half of the work.
type packing struct {
	done chan struct{}
	form string
	body []byte
	err  error
}

func packBeside(edit model.Edit) *packing {
	p := &packing{done: make(chan struct{})}
	pack := func() {
		p.form, p.body, p.err = packEdit(edit)
		close(p.done)
	}
	if len(edit.Changes) < 100 {
		pack()
	} else {
		go pack()
	}
	return p
}

func (p *packing) wait() (form string, body []byte, err error) {
	<-p.done
	return p.form, p.body, p.err
}
