package sheets

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"testing"

	"bellout/model/tables"
)

// FuzzSheetXML reads a workbook whose sheet of devices is any text: it is read or
// refused, with the place, and never ends the program.
func FuzzSheetXML(f *testing.F) {
	f.Add(`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>device</t></is></c></row><row r="2"><c r="A2" t="s"><v>0</v></c></row></sheetData></worksheet>`, `<sst><si><t>G1</t></si></sst>`)
	f.Add(`<worksheet><sheetData><row><c><v>1</v></c><c r="ZZZZ9"/></row>`, `<sst><si><r><t>a</t></r><rPh><t>b</t></rPh></si></sst>`)
	f.Add(`<worksheet><sheetData><row r="3"><c r="B3" t="e"><f>1/0</f><v>#DIV/0!</v></c><c t="b"><v>1</v></c><c t="str"><v>_x0041_</v></c></row></sheetData></worksheet>`, ``)
	f.Fuzz(func(t *testing.T, sheet, shared string) {
		var packed bytes.Buffer
		archive := zip.NewWriter(&packed)
		for name, text := range map[string]string{
			"_rels/.rels":     `<Relationships><Relationship Id="r1" Type="x/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
			"xl/workbook.xml": `<workbook><sheets><sheet name="devices" r:id="r1" xmlns:r="r"/></sheets></workbook>`,
			"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="r1" Type="x/worksheet" Target="worksheets/sheet1.xml"/>` +
				`<Relationship Id="r2" Type="x/sharedStrings" Target="/xl/sharedStrings.xml"/></Relationships>`,
			"xl/worksheets/sheet1.xml": sheet, "xl/sharedStrings.xml": shared,
		} {
			part, err := archive.Create(name)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := part.Write([]byte(text)); err != nil {
				t.Fatal(err)
			}
		}
		if err := archive.Close(); err != nil {
			t.Fatal(err)
		}
		reader, err := zip.NewReader(bytes.NewReader(packed.Bytes()), int64(packed.Len()))
		if err != nil {
			t.Fatal(err)
		}
		book, err := openBook("book.xlsx", reader)
		if err == nil {
			_, err = book.read(context.Background(), "book.xlsx", nil)
		}
		if _, typed := errors.AsType[*tables.Error](err); err != nil && !typed {
			t.Fatalf("%T %v", err, err)
		}
	})
}
