package sheets

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"bellout/model/atomicfile"
)

// printers are the system's own commands that print a file, the first that is
// there; -c of lp says that the file may go as soon as the command is done (POSIX).
var printers = [][]string{{"lp", "-c"}, {"lpr"}}

var errNoPrinter = errors.New("this system has no print command (lp or lpr): write a PDF, and print that")

// printer finds the system's print command.
func printer() ([]string, error) {
	for _, words := range printers {
		if found, err := exec.LookPath(words[0]); err == nil {
			return append([]string{found}, words[1:]...), nil
		}
	}
	return nil, errNoPrinter
}

// handOver gives a file to a print command. The error is one line with what the
// command said.
func handOver(ctx context.Context, command []string, path string) error {
	said, err := exec.CommandContext(ctx, command[0], append(command[1:], path)...).CombinedOutput() // #nosec: our own file
	if err == nil || ctx.Err() != nil {
		return ctx.Err()
	}
	why := strings.Join(strings.Fields(string(said)), " ")
	if why == "" {
		why = err.Error()
	}
	return fmt.Errorf("not printed, %s says: %s; write a PDF, and print that", filepath.Base(command[0]), strings.TrimRight(why, "."))
}

// print hands the sheet to the system's own print command.
func (w *writing) print() {
	m := w.place.made
	if m.pages == nil {
		return
	}
	command, err := printer()
	if err != nil {
		w.tell(err)
		return
	}
	w.place.room.Session.Task("Printing", func(ctx context.Context, progress func(done, of int)) (err error) {
		folder, err := atomicfile.MakeFolder(os.TempDir())
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, folder.Remove()) }()
		path := folder.Path("sheet.pdf")
		if err := atomicfile.Write(path, false, func(to io.Writer) error { return m.pdf(ctx, to, progress) }); err != nil {
			return err
		}
		return handOver(ctx, command, path)
	}, func(err error) {
		w.tell(err)
		if err == nil {
			w.place.room.Session.Say("Handed to the printer: " + m.title + ".")
		}
	})
}
