package command

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"bellout/app/importer"
	"bellout/app/textout"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
	"bellout/model/wording"
)

func newImport(console *Console) *cobra.Command {
	return &cobra.Command{
		Use:   "import FILE DIR",
		Short: "a folder of CSV files, or a workbook, into a new or existing file, all or nothing",
		Long: `Reads the tables of the folder DIR and stores them as one edit: all of them, or
nothing where one row is wrong, with the file, the line and the column of it.
In place of the folder stands a workbook too, BOOK.xlsx, with the same tables on
sheets named devices, terminals and so on: see bellout export --as workbook.

DIR holds devices.csv and terminals.csv, and links.csv, wires.csv, bonds.csv,
readings.csv, symptoms.csv, history.csv and settings.csv where there is something
to say. Into a file that is there already, rows replace those of the same key cell
by cell, a column that is left out leaves its cells as they are, and other rows
stay; readings are added unless the same row is there.`,
		Example: `  bellout import lock.bellout lock-csv
  bellout import lock.bellout new-readings
  bellout import lock.bellout lock.xlsx`,
		Args: wants("FILE", "DIR"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return []string{importer.WorkbookEnding}, cobra.ShellCompDirectiveFilterFileExt
			}
			return completeFile(cmd, args, typed)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			changes, err := importTables(cmd.Context(), console, args[0], args[1])
			if err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(importAnswer{File: args[0], From: args[1], tally: changes})
			}
			return console.print(func(p *textout.Page) { p.Text(args[0] + ": " + changes.String()) })
		},
	}
}

type importAnswer struct {
	File string `json:"file"`
	From string `json:"from"`
	tally
}

func importTables(ctx context.Context, console *Console, path, from string) (tally, error) {
	if at, err := os.Stat(path); err == nil && at.IsDir() {
		return tally{}, fmt.Errorf("%s is a folder; write the project file first, then the folder or the workbook: bellout import FILE %s", path, path)
	}
	show := console.progress()
	content, err := until(ctx, func() (*tables.Content, error) { return importer.Read(ctx, from, show.reading) })
	show.end()
	if err != nil {
		return tally{}, err
	}
	var changes tally
	take := func(file *store.File) error {
		edit, err := importer.Take(ctx, file, content)
		changes = tallyOf(edit)
		return err
	}
	if _, err := os.Lstat(path); errors.Is(err, os.ErrNotExist) {
		err := store.Make(path, take, store.WithContext(ctx))
		changes.fresh = true
		return changes, err
	}
	file, err := openFile(ctx, path, store.ReadWrite)
	if err != nil {
		return tally{}, err
	}
	err = take(file)
	return changes, errors.Join(err, file.Close())
}

// tally counts what an edit did.
type tally struct {
	Added   map[model.Table]int `json:"added"`
	Changed map[model.Table]int `json:"changed"`
	fresh   bool                // the file was made
}

func tallyOf(edit model.Edit) tally {
	counts := tally{Added: map[model.Table]int{}, Changed: map[model.Table]int{}}
	for _, change := range edit.Changes {
		if change.Before == nil {
			counts.Added[change.Table()]++
		} else {
			counts.Changed[change.Table()]++
		}
	}
	return counts
}

// String says it for people: 3 devices and 7 terminals added, 1 wire changed.
func (c tally) String() string {
	text := ""
	for _, part := range []struct {
		counts map[model.Table]int
		verb   string
	}{{c.Added, "added"}, {c.Changed, "changed"}} {
		var counts []string
		for _, table := range model.Tables {
			if count := part.counts[table]; count > 0 {
				counts = append(counts, wording.Count(count, string(table)))
			}
		}
		if len(counts) == 0 {
			continue
		}
		if text != "" {
			text += "; "
		}
		text += wording.And(counts) + " " + part.verb
	}
	if text == "" && c.fresh {
		return "made, and empty: there is no row in what was imported."
	}
	if text == "" {
		return "nothing new in there, the file stays as it was."
	}
	return text + "."
}

// progressAfter is how long somebody waits without being told anything.
const progressAfter = 300 * time.Millisecond

// progress tells the person in front of the terminal how far long work is.
type progress struct {
	console *Console
	begun   time.Time
	shown   bool
	last    time.Time
}

func (c *Console) progress() *progress { return &progress{console: c, begun: c.Now()} }

func (s *progress) reading(at tables.Progress) {
	s.show(at.Bytes, at.Total, fmt.Sprintf("%s, %d rows", at.File, at.Rows))
}

// part tells how far a part of an export is.
func (s *progress) part(part string, done, total int) {
	s.show(int64(done), int64(total), part)
}

func (s *progress) show(done, total int64, what string) {
	now := s.console.Now()
	if !s.console.Progress || now.Sub(s.begun) < progressAfter || now.Sub(s.last) < progressAfter/3 {
		return
	}
	s.shown, s.last = true, now
	percent := int64(100)
	if total > 0 {
		percent = 100 * done / total
	}
	// progress is a courtesy: where it cannot be written, the work goes on
	_, _ = fmt.Fprintf(s.console.Err, "\r%3d %%  %s\x1b[K", percent, what)
}

// end wipes the line, so that an error stands alone.
func (s *progress) end() {
	if s.shown {
		_, _ = fmt.Fprint(s.console.Err, "\r\x1b[K")
	}
}
