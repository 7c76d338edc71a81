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

	"bellout/app/drawing"
	"bellout/app/drawing/pdf"
	"bellout/app/drawing/svg"
	"bellout/app/sheets"
	"bellout/app/sheets/book"
	"bellout/model/atomicfile"
	"bellout/model/store"
	"bellout/model/wording"
)

// The kinds of export that are drawn on paper, beside the sheets of the book.
const (
	kindBook   = "book"
	kindLabels = "labels"
)

// The flags that only paper has a use for.
const (
	flagPaper  = "paper"
	flagLabels = "labels"
)

// bookOnly is the sheet that says nothing without the others.
const bookOnly = "contents"

// printing is how an export on paper comes out. asked are the flags that were
// written, since one that has no effect must be told.
type printing struct {
	paper, state, labels string
	asked                []string
}

func (p *printing) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&p.paper, flagPaper, string(book.A4), "the `PAPER` of what is drawn: a4, letter, or a5 for a card in a door")
	cmd.Flags().StringVar(&p.state, "state", "", "the machine as it was when a `STATE` was named; without it, as it is now")
	cmd.Flags().StringVar(&p.labels, flagLabels, "", "the `SHEET` that labels lie on: "+strings.Join(labelSheets(), ", ")+"; tag without it")
	completeFlag(cmd, flagPaper, []string{string(book.A4), string(book.A5), string(book.Letter)})
	completeFlag(cmd, flagLabels, labelSheets())
}

func (p *printing) askedFor(cmd *cobra.Command) []string {
	return slices.DeleteFunc([]string{flagPaper, flagLabels}, func(name string) bool { return !cmd.Flags().Changed(name) })
}

// fits complains of a flag that the export has no use for: who writes it expects
// something of it.
func (p *printing) fits(kind, out string, drawn bool) error {
	if slices.Contains(p.asked, flagLabels) && (kind != kindLabels || !drawn) {
		return errors.New("--labels says how labels lie on paper; it goes with --as labels and an OUT that is a .pdf, an .svg or a folder: leave it out here")
	}
	if !slices.Contains(p.asked, flagPaper) {
		return nil
	}
	if !drawn {
		return fmt.Errorf("--paper goes with what is drawn on paper (%s, and %s as .pdf, .svg or a folder of pages); leave it out for %s", strings.Join(paperNames(), ", "), wording.And(bothForms()), out)
	}
	if kind == kindLabels && strings.EqualFold(p.paper, string(book.A5)) {
		return errors.New("--paper: labels lie on a4 or letter; write one of these")
	}
	if kind == kindLabels && slices.Contains(p.asked, flagLabels) {
		if sheet, err := sheets.FindLabelSheet(p.labels); err == nil && sheet.Letter != (p.paper == string(book.Letter)) {
			return fmt.Errorf("--labels %s lies on %s; leave --paper out, or name another sheet of labels", p.labels, map[bool]string{true: "letter", false: "a4"}[sheet.Letter])
		}
	}
	return nil
}

// bothForms are the kinds that are files and pages, whichever OUT asks for.
func bothForms() []string {
	var names []string
	for _, s := range sheets.Sheets {
		if isDrawn(s.Name) {
			names = append(names, s.Name)
		}
	}
	return names
}

func labelSheets() []string {
	var names []string
	for _, s := range sheets.LabelSheets() {
		names = append(names, s.Name)
	}
	return names
}

// paperNames are the kinds that are on paper only; net list, wire list and labels
// are files too.
func paperNames() []string {
	names := []string{kindBook}
	for _, k := range book.Kinds() {
		if !isFileSheet(k.Name) && k.Name != bookOnly {
			names = append(names, k.Name)
		}
	}
	return names
}

func isFileSheet(kind string) bool {
	return slices.ContainsFunc(sheets.Sheets, func(s sheets.Sheet) bool { return s.Name == kind })
}

func paperLines() string {
	text := fmt.Sprintf("  %-11s %s\n", kindBook, "all of the sheets below, with contents and links")
	for _, k := range book.Kinds() {
		if k.Name == bookOnly {
			continue
		}
		text += fmt.Sprintf("  %-11s %s\n", k.Name, k.About)
	}
	return text
}

// onPaper says whether a kind and OUT ask for pages. A sheet that is a file too is
// drawn where OUT is a picture, a name that ends in /, or a folder that is there;
// of a bare name nobody knows which was meant.
func onPaper(kind, out string) bool {
	if slices.Contains(paperNames(), kind) {
		return true
	}
	return isDrawn(kind) && (slices.Contains([]string{".pdf", ".svg"}, ending(out)) || strings.HasSuffix(out, string(filepath.Separator)) || isFolder(out))
}

// isFolder says whether a folder is there.
func isFolder(path string) bool {
	at, err := os.Stat(path)
	return err == nil && at.IsDir()
}

// fileEndings are those by which people name a file, never a folder.
var fileEndings = []string{".csv", ".json", ".txt", ".xlsx", ".ods", ".graphml", ".pdf", ".svg", ".zip", ".bellout"}

func isFileEnding(end string) bool { return slices.Contains(fileEndings, end) }

// isDrawn says whether a kind has pages.
func isDrawn(kind string) bool {
	return kind == kindLabels || slices.ContainsFunc(book.Kinds(), func(k book.Kind) bool { return k.Name == kind })
}

func ending(path string) string { return strings.ToLower(filepath.Ext(path)) }

// pages are what is drawn: onto any document.
type pages struct {
	title string
	count int
	name  func(page int) string
	draw  func(ctx context.Context, doc drawing.Document) error
}

func exportPaper(ctx context.Context, console *Console, path, kind string, out target, p printing) (err error) {
	if slices.Contains([]string{".csv", ".json", ".txt", ".xlsx"}, ending(out.path)) && !isFolder(out.path) {
		return fmt.Errorf("export: %s is drawn on paper; end OUT in .pdf, or name a folder for SVG pages", kind)
	}
	paper, err := book.ParsePaper(p.paper)
	if err != nil {
		return fmt.Errorf("export: --paper: %w", err)
	}
	file, err := openFile(ctx, path, store.ReadOnly)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	show := console.progress()
	defer show.end()
	job, err := bookJob(console, file, path, p.state)
	if err != nil {
		return fmt.Errorf("export: %w", err)
	}
	if !isFolder(out.path) && ending(out.path) != "" {
		if err := out.check(); err != nil {
			return err
		}
	}
	job.Paper = paper
	var made pages
	if kind == kindLabels {
		made, err = labelPages(job, p.labels)
	} else {
		made, err = until(ctx, func() (pages, error) { return bookPages(ctx, job, kind, show.part) })
	}
	if err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return made.write(ctx, out, job)
}

// bookJob gathers what a book is made of.
func bookJob(console *Console, file *store.File, path, state string) (book.Job, error) {
	job := book.Job{
		Title: strings.TrimSuffix(filepath.Base(path), ".bellout"), Machine: file.Machine(), Now: console.Now(), Photo: file.PictureBytes,
	}
	var err error
	if state != "" {
		if job.Machine, err = file.MachineAt(state); err != nil {
			return job, fmt.Errorf("--state %q: %w", state, err)
		}
		job.State = state
		job.Journal, err = file.JournalUntil(state)
		return job, err
	}
	if job.Journal, err = file.Journal(0); err != nil {
		return job, err
	}
	states, err := file.States()
	if err != nil {
		return job, err
	}
	if len(states) > 0 {
		last := states[len(states)-1]
		job.State = last.Name
		if last.Edited {
			job.State += ", edited since"
		}
	}
	return job, nil
}

func bookPages(ctx context.Context, job book.Job, kind string, progress book.Progress) (pages, error) {
	var names []string
	if kind != kindBook {
		names = []string{kind}
	}
	made, err := book.Make(ctx, job, progress, names...)
	if err != nil {
		return pages{}, err
	}
	bound := book.Bind(made...)
	title := "Book"
	if kind != kindBook {
		title = made[0].Title
	}
	return pages{title: title, count: bound.Pages(), name: bound.PageName, draw: func(ctx context.Context, doc drawing.Document) error {
		return book.Write(ctx, doc, bound, progress)
	}}, nil
}

func labelPages(job book.Job, name string) (pages, error) {
	if name == "" {
		name = "tag"
		if job.Paper == book.Letter {
			name = "tag-letter"
		}
	}
	sheet, err := sheets.FindLabelSheet(name)
	if err != nil {
		return pages{}, err
	}
	list := sheets.Labels(job.Machine)
	per := sheet.Columns * sheet.Rows
	return pages{
		title: "Labels", count: max(1, (len(list)+per-1)/per), name: func(page int) string { return fmt.Sprintf("%03d-labels.svg", page) },
		draw: func(_ context.Context, doc drawing.Document) error {
			sheets.DrawLabels(doc, sheet, list)
			return nil
		},
	}, nil
}

// write writes a PDF, one SVG page, or a folder of them.
func (p pages) write(ctx context.Context, out target, job book.Job) error {
	end := ending(out.path)
	if isFolder(out.path) {
		end = ""
	}
	switch end {
	case ".pdf":
		doc := pdf.New(pdf.Info{Title: job.Title + ": " + p.title, Subject: job.State, Created: job.Now})
		if err := done(ctx, func() error { return p.draw(ctx, doc) }); err != nil {
			return err
		}
		return out.write(ctx, doc.Write)
	case ".svg":
		if p.count > 1 {
			name := strings.TrimSuffix(out.path, filepath.Ext(out.path))
			return fmt.Errorf("export: that is %d pages, and an .svg holds one; write -o %s/ for a folder of them, or -o %s.pdf", p.count, name, name)
		}
		doc := svg.New(nil)
		if err := done(ctx, func() error { return p.draw(ctx, doc) }); err != nil {
			return err
		}
		return out.write(ctx, doc.Write)
	case "":
	default:
		return fmt.Errorf("export: %s ends in %s; end it in .pdf or .svg, or in / for a folder of SVG pages", out.path, end)
	}
	doc := svg.New(p.name)
	if err := done(ctx, func() error { return p.draw(ctx, doc) }); err != nil {
		return err
	}
	files := make([]atomicfile.File, doc.Pages())
	for i := range files {
		files[i] = atomicfile.File{Name: p.name(i + 1), Write: func(to io.Writer) error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return doc.WritePage(i+1, to)
		}}
	}
	return atomicfile.WriteNewFolder(strings.TrimRight(out.path, string(filepath.Separator)), files...)
}
