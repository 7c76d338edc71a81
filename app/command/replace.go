package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/changes"
	"bellout/app/drawing/pdf"
	"bellout/app/drawing/svg"
	"bellout/app/sheets/book"
	"bellout/app/textout"
	"bellout/model/store"
)

func newReplace(console *Console) *cobra.Command {
	var out target
	var paper string
	var done bool
	cmd := &cobra.Command{
		Use:   "replace FILE DEVICE",
		Short: "before a device comes out: what joins where; after: what to check",
		Long: `Prints the sheet of a device that is to be replaced: terminal by terminal the
wire, its colour, its other end, the net and the volts to expect; then the checks
in their order: dead while it is out, volts at the open plug before mating, and
terminal by terminal once the other one is in.

-o writes it into a file; its ending picks the form: .txt, .csv (what joins where),
.json, .pdf or .svg. --replace writes over a file that is there. --done notes in
the file that the device was replaced: the new part is well, its note says when,
and reverify lists what must be verified again. The death of the old one stays in
the history with its date and note: it goes on counting in suspects, and the new
part testifies from its day on only.`,
		Example: `  bellout replace lock.bellout A2
  bellout replace lock.bellout A2 -o A2.pdf --paper letter
  bellout state lock.bellout "before A2 came out"
  bellout replace lock.bellout A2 --done
  bellout reverify lock.bellout --from "before A2 came out"`,
		Args:              wants("FILE", "DEVICE"),
		ValidArgsFunction: completeFrom(1, deviceNames),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out.replace && out.path == "" {
				return errors.New("replace: --replace goes with -o OUT; leave it out")
			}
			if done {
				if out.path != "" {
					return errors.New("replace: --done notes that it is done, -o writes the sheet; write one of the two")
				}
				if cmd.Flags().Changed(flagPaper) {
					return errors.New("replace: --paper goes with -o and a .pdf or .svg; leave it out with --done")
				}
				return noteReplaced(cmd.Context(), args[0], args[1], console, wantsJSON(cmd))
			}
			if end := ending(out.path); cmd.Flags().Changed(flagPaper) && end != ".pdf" && end != ".svg" {
				return errors.New("replace: --paper goes with what is drawn; end -o in .pdf or .svg, or leave --paper out")
			}
			machine, err := readMachine(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			known, err := judged(cmd.Context(), machine)
			if err != nil {
				return err
			}
			sheet, err := until(cmd.Context(), func() (*changes.Replacement, error) { return changes.Replace(known, args[1]) })
			if err != nil {
				return fmt.Errorf("replace: %w", err)
			}
			if out.path != "" {
				job := book.Job{Title: strings.TrimSuffix(filepath.Base(args[0]), ".bellout"), Machine: machine, Diagnosis: known, Now: console.Now()}
				if job.Paper, err = book.ParsePaper(paper); err != nil {
					return fmt.Errorf("replace: --paper: %w", err)
				}
				if err := writeReplacement(cmd.Context(), out, job, sheet); err != nil {
					return err
				}
				if wantsJSON(cmd) {
					return console.printJSON(exportAnswer{File: args[0], Kind: "replacement", Out: out.path})
				}
				return console.print(func(p *textout.Page) { p.Text(fmt.Sprintf("%s written: the sheet of %s.", out.path, sheet.Device)) })
			}
			if wantsJSON(cmd) {
				return console.printJSON(sheet)
			}
			return console.print(func(p *textout.Page) { layReplacement(p, sheet) })
		},
	}
	cmd.Flags().StringVarP(&out.path, "out", "o", "", "`OUT`, the file to write: .txt, .csv, .json, .pdf or .svg")
	cmd.Flags().StringVar(&paper, flagPaper, "a4", "the `PAPER` of .pdf and .svg: a4, a5, letter")
	out.replaceFlag(cmd)
	cmd.Flags().BoolVar(&done, "done", false, "note in the file that the device was replaced")
	return cmd
}

func noteReplaced(ctx context.Context, path, ref string, console *Console, asJSON bool) error {
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(console.Now))
	if err != nil {
		return err
	}
	edit, err := changes.NoteReplaced(file.Machine(), ref, console.Now())
	if err == nil {
		err = file.Do(edit)
	}
	said := err
	if errors.Is(err, changes.ErrReplaced) { // what was asked for holds: no bad input
		err = nil
	}
	if err := errors.Join(err, file.Close()); err != nil {
		return fmt.Errorf("replace: %w; nothing was changed", err)
	}
	if asJSON {
		return console.printJSON(struct {
			Replaced string `json:"replaced"`
			Already  bool   `json:"already"` // nothing was changed
		}{ref, said != nil})
	}
	return console.print(func(p *textout.Page) {
		if said != nil {
			p.Text(said.Error() + ". Nothing was changed.")
			return
		}
		p.Text(ref + " is noted as replaced, and as well; what died there before stays in the history. bellout reverify lists what must be verified again since a state with a name.")
	})
}

func writeReplacement(ctx context.Context, out target, job book.Job, sheet *changes.Replacement) error {
	if err := out.check(); err != nil {
		return err
	}
	ending := strings.ToLower(filepath.Ext(out.path))
	var write func(io.Writer) error
	switch ending {
	case ".txt":
		write = func(to io.Writer) error {
			p := textout.New(to, 0, false)
			layReplacement(p, sheet)
			return p.Flush()
		}
	case ".csv":
		write = sheet.WriteCSV
	case ".json":
		write = func(to io.Writer) error { return (&Console{Out: to}).printJSON(sheet) }
	case ".pdf", ".svg":
		drawn, err := book.Replacement(ctx, job, sheet)
		if err != nil {
			return err
		}
		bound := book.Bind(drawn)
		if ending == ".svg" && bound.Pages() > 1 {
			return fmt.Errorf("replace: that is %d pages; end %s in .pdf", bound.Pages(), out.path)
		}
		write = func(to io.Writer) error {
			if ending == ".svg" {
				doc := svg.New(bound.PageName)
				if err := book.Write(ctx, doc, bound, nil); err != nil {
					return err
				}
				return doc.Write(to)
			}
			doc := pdf.New(pdf.Info{Title: job.Title + ": " + drawn.Title})
			if err := book.Write(ctx, doc, bound, nil); err != nil {
				return err
			}
			return doc.Write(to)
		}
	default:
		return fmt.Errorf("replace: %s ends in no form that is known; end it in .txt, .csv, .json, .pdf or .svg", out.path)
	}
	return out.write(ctx, write)
}

func layReplacement(p *textout.Page, r *changes.Replacement) {
	title := r.Device
	for _, part := range []string{r.Title, r.Zone} {
		if part != "" {
			title += ", " + part
		}
	}
	p.Text(p.Paint(textout.Strong, "Replacing "+title))
	if r.Note != "" {
		p.Text(r.Note)
	}
	p.Gap()
	for _, caution := range r.Cautions {
		p.Hanging(p.Paint(textout.Yellow, "Caution "), caution)
	}
	p.Gap()
	rows := make([][]string, len(r.Joints))
	for i, j := range r.Joints {
		rows[i] = []string{j.Terminal, j.Role, orNone(j.Wire), j.Colour, j.Gauge, j.Other, j.At, j.Net, voltsOf(j)}
	}
	p.Table([]textout.Column{{Title: "terminal"}, {Title: "role"}, {Title: "wire"}, {Title: "colour"}, {Title: "gauge"}, {Title: "other end"}, {Title: "which is", Wrap: true}, {Title: "net"}, {Title: "V when on", Right: true}}, rows)
	stage := changes.Stage("")
	for i, s := range r.Steps {
		if s.Stage != stage {
			stage = s.Stage
			p.Gap()
			p.Text(p.Paint(textout.Strong, strings.ToUpper(string(stage)[:1])+string(stage)[1:]))
			if s.Caution != "" {
				p.Hanging(p.Paint(textout.Yellow, "Caution "), s.Caution)
			}
		} else if s.Caution != "" && s.Caution != r.Steps[i-1].Caution {
			p.Hanging(p.Paint(textout.Yellow, "Caution "), s.Caution)
		}
		p.Hanging(fmt.Sprintf("[ ] %2d  ", i+1), s.Do)
		if s.Expect != "" {
			p.Hanging("        ", "Expect "+s.Expect+".")
		}
		if s.Else != "" && (i == 0 || r.Steps[i-1].Else != s.Else) {
			p.Hanging("        ", s.Else)
		}
	}
}

func orNone(wire string) string {
	if wire == "" {
		return "none"
	}
	return wire
}

func voltsOf(j changes.Joint) string {
	if !j.Volts.Known {
		return ""
	}
	return j.Volts.String()
}
