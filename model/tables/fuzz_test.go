package tables

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"bellout/model"
)

// FuzzReadCSV feeds any bytes to each table: no panic, an error names file and
// line and is one line, and what is accepted is written in a form that comes
// back to itself.
func FuzzReadCSV(f *testing.F) {
	for at, table := range Tables {
		f.Add(byte(at), []byte(sound[table.File()]))
		f.Add(byte(at), []byte(strings.ReplaceAll("\ufeff"+sound[table.File()], ",", ";")))
	}
	f.Add(byte(1), []byte("device;note\r\nG1;\"a\r\r\nb\"\r\n"))
	f.Add(byte(4), []byte("wire,from,to,gauge\nW1,A:1,B:2,AWG 00\n"))
	f.Add(byte(4), []byte("wire,basis\nW1,seen\n"))
	f.Add(byte(6), []byte("red,black,value,at\nA:1,B:2,1e300k,2026-01-01T00:00:00.5+23:59\n"))
	f.Fuzz(func(t *testing.T, which byte, text []byte) {
		table := Tables[int(which)%len(Tables)]
		content := &Content{}
		err := content.ReadCSV(context.Background(), table, bytes.NewReader(text))
		if err != nil {
			var located *Error
			if !errors.As(err, &located) || located.File != table.File() || located.Line < 1 {
				t.Fatalf("an error without a place: %#v", err)
			}
			if strings.ContainsAny(err.Error(), "\r\n") {
				t.Fatalf("an error of several lines: %q", err)
			}
			return
		}
		if len(content.settings.doubts)+len(content.devices.doubts)+len(content.terminals.doubts)+len(content.links.doubts)+len(content.wires.doubts)+len(content.bonds.doubts) > 0 {
			return // some machine may hold what is missing
		}
		once := printed(t, table, content)
		again := &Content{}
		if err := again.ReadCSV(context.Background(), table, bytes.NewReader(once)); err != nil {
			t.Fatalf("what was written is refused: %v\n%q", err, once)
		}
		if twice := printed(t, table, again); !bytes.Equal(once, twice) {
			t.Fatalf("what was written comes back otherwise:\n%q\n%q", once, twice)
		}
		before, _ := table.Count(content)
		if after, _ := table.Count(again); before != after {
			t.Fatalf("%d rows became %d", before, after)
		}
	})
}

// printed writes the rows of a content without a machine: they may refer to
// what is not there, and conditions are as they were written.
func printed(t *testing.T, of Table, content *Content) []byte {
	t.Helper()
	var out bytes.Buffer
	buffered := bufio.NewWriter(&out)
	row := func(cells []string) error { return writeRow(buffered, cells) }
	err := row(of.Header())
	switch of := of.(type) {
	case *table[model.Setting]:
		err = errors.Join(err, of.print(content.settings.list, row))
	case *table[model.Device]:
		err = errors.Join(err, of.print(content.devices.list, row))
	case *table[model.Terminal]:
		err = errors.Join(err, of.print(content.terminals.list, row))
	case *table[model.Link]:
		err = errors.Join(err, of.print(content.links.list, row))
	case *table[model.Wire]:
		err = errors.Join(err, of.print(content.wires.list, row))
	case *table[model.Bond]:
		err = errors.Join(err, of.print(content.bonds.list, row))
	case *table[Reading]:
		err = errors.Join(err, of.print(content.readings.list, row))
	}
	if err = errors.Join(err, buffered.Flush()); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
