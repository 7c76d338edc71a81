package sheets

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"bellout/model/tables"
)

// bookOf packs a workbook of one sheet, devices, and of one part of shared
// strings; each part is written by a function.
func bookOf(t testing.TB, sheets int, parts map[string]func(io.Writer)) string {
	t.Helper()
	var list strings.Builder
	for i := range sheets {
		name := "devices"
		if i > 0 {
			name = fmt.Sprintf("sheet%d", i)
		}
		fmt.Fprintf(&list, `<sheet name="%s" r:id="r1" xmlns:r="r"/>`, name)
	}
	text := func(text string) func(io.Writer) { return func(w io.Writer) { _, _ = io.WriteString(w, text) } }
	all := map[string]func(io.Writer){
		"_rels/.rels":     text(`<Relationships><Relationship Id="r1" Type="x/officeDocument" Target="xl/workbook.xml"/></Relationships>`),
		"xl/workbook.xml": text(`<workbook><sheets>` + list.String() + `</sheets></workbook>`),
		"xl/_rels/workbook.xml.rels": text(`<Relationships><Relationship Id="r1" Type="x/worksheet" Target="worksheets/sheet1.xml"/>` +
			`<Relationship Id="r2" Type="x/sharedStrings" Target="sharedStrings.xml"/></Relationships>`),
		"xl/worksheets/sheet1.xml": text(`<worksheet><sheetData><row><c t="inlineStr"><is><t>device</t></is></c></row></sheetData></worksheet>`),
		"xl/sharedStrings.xml":     text(`<sst/>`),
	}
	for name, write := range parts {
		all[name] = write
	}
	path := filepath.Join(t.TempDir(), "book.xlsx")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	archive := zip.NewWriter(file)
	for name, write := range all {
		part, err := archive.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		write(part)
	}
	if err := archive.Close(); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// many writes a text again and again, until it has so many bytes.
func many(before, text, after string, size int) func(io.Writer) {
	return func(w io.Writer) {
		block := bytes.Repeat([]byte(text), 1+1<<16/len(text))
		_, _ = io.WriteString(w, before)
		for done := 0; done < size; done += len(block) {
			_, _ = w.Write(block) // of a zip in a test's folder
		}
		_, _ = io.WriteString(w, after)
	}
}

// allocated is how much memory work asked for, in bytes.
func allocated(work func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	work()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A small file that would fill the memory is refused before it is unpacked.
func TestAWorkbookThatUnpacksIntoTooMuch(t *testing.T) {
	const mb = 1 << 20
	for _, test := range []struct {
		name  string
		path  string
		words string
		most  uint64 // bytes of memory
	}{
		{"more than any machine takes", bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": many("<sst><si><t>", "ab", "</t></si></sst>", mostBookBytes+mb)}), "more than 256 MB", 4 * mb},
		{"over several parts", bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": many("<sst>", "<si/>", "</sst>", 140*mb), "xl/media/picture.png": many("", "ab", "", 140*mb)}), "more than 256 MB", 4 * mb},
		{"one long text", bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": many("<sst><si><t>", "ab", "</t></si></sst>", 40*mb)}), "times its size", 4 * mb},
		{"texts of nothing", bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": many("<sst>", "<si/>", "</sst>", 40*mb)}), "times its size", 4 * mb},
		{"texts of nothing, not many bytes", bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": func(w io.Writer) {
			many("<sst>", "<si/>", "", 15*mb)(w)
			_, _ = w.Write([]byte("<nothing></sst>"))
		}}), "damaged", 1000 * mb},
		{"one part for many sheets", bookOf(t, 4000, map[string]func(io.Writer){"xl/worksheets/sheet1.xml": many("<worksheet>", "<a/>", "</worksheet>", 12*mb)}), "again and again", 1500 * mb},
		{"a directory that lies", lying(t, 30*mb), "", 40 * mb},
	} {
		var err error
		used := allocated(func() { _, err = ReadWorkbook(context.Background(), test.path, nil) })
		problem, is := err.(*tables.Error)
		if !is || !strings.Contains(problem.Error(), test.words) || strings.Contains(problem.Error(), "\n") || problem.Mend == "" {
			t.Errorf("%s: %v", test.name, err)
		}
		if used > test.most {
			t.Errorf("%s: it took %d MB of memory, more than %d", test.name, used/mb, test.most/mb)
		}
		t.Logf("%s: %d MB, %v", test.name, used/mb, err)
	}
}

// lying is a workbook whose directory says that its texts have 100 bytes.
func lying(t *testing.T, size int) string {
	path := bookOf(t, 1, map[string]func(io.Writer){"xl/sharedStrings.xml": many("<sst><si><t>", "ab", "</t></si></sst>", size)})
	packed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	// in the central directory (APPNOTE.TXT 4.3.12) the size unpacked stands 24
	// bytes from the signature, the name 46
	for at := 0; ; {
		next := bytes.Index(packed[at:], []byte("PK\x01\x02"))
		if next < 0 {
			break
		}
		at += next
		if bytes.HasPrefix(packed[at+46:], []byte("xl/sharedStrings.xml")) {
			binary.LittleEndian.PutUint32(packed[at+24:], 100)
		}
		at += 4
	}
	if err := os.WriteFile(path, packed, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
