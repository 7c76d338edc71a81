package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/sheets"
	"bellout/app/textout"
	"bellout/faults"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
	"bellout/model/wording"
)

// The kinds of export whose name matters here: those that import reads again.
const (
	kindCSV      = "csv"
	kindWorkbook = "workbook"
)

func newExport(console *Console) *cobra.Command {
	var kind string
	var out target
	var printing printing
	cmd := &cobra.Command{
		Use:   "export FILE --as KIND -o OUT",
		Short: "the machine as CSV, a workbook, lists, a graph, or a book on paper",
		Long: `Writes the machine in another form. KIND is one of

` + kindLines() + `
For csv, OUT is a folder. For the others, the ending of OUT picks the form: .csv
or .xlsx for a spreadsheet, .json for programs, .txt for a page to print. What
csv and workbook write, import reads. A file that is there stays as it is;
--replace writes over it, once the new one is whole. A project file is never
written over, and nothing is written through a link.

On paper, as .pdf, or as a folder of SVG pages where OUT ends in / (one page alone
as .svg):

` + paperLines() + `
Labels are drawn for sheets of paper as well: .pdf or a folder, --labels says how
they lie.

In CSV a text that a spreadsheet would run as a formula, as in =1+1, stands with
an apostrophe in front; import takes it off again.`,
		Example: `  bellout export lock.bellout --as csv -o lock-csv
  bellout export lock.bellout --as workbook -o lock.xlsx
  bellout export lock.bellout --as wirelist -o wires.txt
  bellout export lock.bellout --as netlist -o nets.json
  bellout export lock.bellout --as graphml -o lock.graphml
  bellout export lock.bellout --as book -o lock.pdf
  bellout export lock.bellout --as doorcard --paper letter -o card.svg
  bellout export lock.bellout --as labels -o labels.csv`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			printing.asked = printing.askedFor(cmd)
			if err := export(cmd.Context(), console, args[0], kind, out, printing); err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(exportAnswer{File: args[0], Kind: kind, Out: out.path})
			}
			return console.print(func(p *textout.Page) { p.Text(fmt.Sprintf("%s written from %s.", out.path, args[0])) })
		},
	}
	cmd.Flags().StringVar(&kind, "as", "", "the `KIND`: "+strings.Join(kindNames(), ", "))
	cmd.Flags().StringVarP(&out.path, "out", "o", "", "`OUT`, the file to write, for csv the folder")
	completeFlag(cmd, "as", kindNames())
	out.replaceFlag(cmd)
	printing.flags(cmd)
	return cmd
}

type exportAnswer struct {
	File string `json:"file"`
	Kind string `json:"kind"`
	Out  string `json:"out"`
}

func kindNames() []string {
	names := []string{kindCSV}
	for _, sheet := range sheets.Sheets {
		names = append(names, sheet.Name)
	}
	return append(names, paperNames()...)
}

func kindLines() string {
	text := fmt.Sprintf("  %-10s %s\n", kindCSV, "the tables, one file each, in a folder, which import reads again")
	for _, sheet := range sheets.Sheets {
		text += fmt.Sprintf("  %-10s %s\n", sheet.Name, sheet.Title)
		text += fmt.Sprintf("  %-10s (%s)\n", "", sheet.Endings())
	}
	return text
}

func export(ctx context.Context, console *Console, path, kind string, out target, printing printing) error {
	switch {
	case kind == "":
		return fmt.Errorf("export: --as is missing; write --as with one of %s", strings.Join(kindNames(), ", "))
	case out.path == "":
		return fmt.Errorf("export: -o is missing; write -o with the file to write, for csv the folder")
	}
	paper := onPaper(kind, out.path)
	if slices.Contains(kindNames(), kind) {
		if err := printing.fits(kind, out.path, paper); err != nil {
			return fmt.Errorf("export: %w", err)
		}
	}
	if kind == kindCSV {
		return exportFolder(ctx, console, path, printing.state, out)
	}
	if paper {
		return exportPaper(ctx, console, path, kind, out, printing)
	}
	for _, sheet := range sheets.Sheets {
		if sheet.Name == kind {
			return exportSheet(ctx, console, path, printing.state, sheet, out)
		}
	}
	return fmt.Errorf("export: no kind %q; write --as with one of %s", kind, strings.Join(kindNames(), ", "))
}

// readState is the machine as it was when a state was named; as it is now without
// a name.
func readState(ctx context.Context, path, state string) (*model.Machine, error) {
	if state == "" {
		return readMachine(ctx, path)
	}
	file, err := openFile(ctx, path, store.ReadOnly)
	if err != nil {
		return nil, err
	}
	machine, err := file.MachineAt(state)
	if err := errors.Join(err, file.Close()); err != nil {
		return nil, fmt.Errorf("export: --state %q: %w", state, err)
	}
	return machine, nil
}

func exportFolder(ctx context.Context, console *Console, path, state string, out target) error {
	at, err := os.Stat(out.path)
	if err == nil && !at.IsDir() {
		return fmt.Errorf("export: %s is a file; csv takes a folder, so name a new or existing one", out.path)
	}
	if end := ending(out.path); err != nil && isFileEnding(end) {
		mend := "csv writes a folder of tables: name it without that ending, as in -o " + strings.TrimSuffix(out.path, filepath.Ext(out.path))
		if end == ".xlsx" {
			mend += ", or write --as workbook for one file"
		}
		return fmt.Errorf("export: %s ends like a file, and %s", out.path, mend)
	}
	machine, err := readState(ctx, path, state)
	if err != nil {
		return err
	}
	if err := offerReplace(tables.WriteFolder(ctx, machine, out.path, out.replace)); err != nil {
		return err
	}
	if err := tellLeftOut(console, machine, "CSV"); err != nil {
		return err
	}
	return tellStale(console, faults.Stale(machine), "CSV", "readings.csv")
}

// tellLeftOut says what the tables have no place for.
func tellLeftOut(console *Console, machine *model.Machine, form string) error {
	list := tables.LeftOut(machine)
	if len(list) == 0 {
		return nil
	}
	_, err := fmt.Fprintf(console.Err, "bellout: the %s has no place for %s; that stays in the project file: keep it\n", form, wording.And(list))
	return err
}

// tellStale warns of what the tables have no column for: an edit after a
// reading.
func tellStale(console *Console, numbers []int64, form, table string) error {
	if len(numbers) == 0 {
		return nil
	}
	count, their, them := "1 reading is", "its", "it"
	if len(numbers) > 1 {
		count, their, them = fmt.Sprintf("%d readings are", len(numbers)), "their", "them"
	}
	list := make([]string, len(numbers))
	for i, number := range numbers {
		list[i] = fmt.Sprint(number)
	}
	_, err := fmt.Fprintf(console.Err, "bellout: %s stale (%s path was edited since): %s; the %s carries %s as %s, evidence again in a new file: "+
		"write a reason into the column struck of %s where that would be wrong\n", count, their, some(list, 8), form, them, map[bool]string{true: "they stand", false: "it stands"}[len(numbers) > 1], table)
	return err
}

func exportSheet(ctx context.Context, console *Console, path, state string, sheet sheets.Sheet, out target) error {
	form, err := sheet.FormOf(out.path)
	if err != nil && isDrawn(sheet.Name) {
		return fmt.Errorf("export: %w, in .pdf for paper, or in / for a folder of SVG pages", err)
	}
	if err != nil {
		return fmt.Errorf("export: %w", err)
	}
	machine, err := readState(ctx, path, state)
	if err != nil {
		return err
	}
	if err := out.check(); err != nil {
		return err
	}
	show := console.progress()
	job := sheets.Job{
		Title: strings.TrimSuffix(filepath.Base(path), ".bellout"), Printed: console.Now(), Machine: machine, Progress: show.part,
	}
	err = out.write(ctx, func(to io.Writer) error { return sheet.Write(ctx, to, form, job) })
	show.end()
	if err != nil || sheet.Name != kindWorkbook {
		return err
	}
	if err := tellLeftOut(console, machine, "workbook"); err != nil {
		return err
	}
	return tellStale(console, faults.Stale(machine), "workbook", "the sheet readings")
}
