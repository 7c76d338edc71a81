package command

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

func newStation(console *Console) *cobra.Command {
	var words goalWords
	cmd := &cobra.Command{
		Use:   "station FILE",
		Short: "probe after probe over standard input and output, JSON lines",
		Long: `Prints the probe worth making now as one line of JSON, reads one answer, stores it
as a reading, prints what it means, and goes on until nothing is worth probing:
the bench for a program, or for a person with a meter that talks.

Answers: {"value":"beep"}, {"value":"silent"}, {"value":12.5}, {"value":"OL"},
{"value":"4.7 kohm"}, as log reads them; a number is in the range that was asked for;
{"skip":true} where a tip cannot get there; {"undo":true} strikes the last
reading of this sitting out; {"stop":true}, the end of the input or Ctrl-C ends
it. A value may bring "drift" (steady, rising, falling) and a "note". A line that
cannot be read gets {"error":"..."} and the same probe again.

Every reading is in the file and on the disk before the next line appears. After
a break, station goes on where it was; only what was skipped is forgotten. Where
the file takes none (it was moved or replaced, the disk is full), the line is an
{"error":"..."}, and the reading is kept: the next answer tries again, and
{"save":"OTHER.bellout"} goes on with everything in a new file.

` + goalHelp,
		Example: `  bellout station lock.bellout
  bellout station lock.bellout --goal verify`,
		Args:              wants("FILE"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			options, err := words.options()
			if err != nil {
				return fmt.Errorf("station: %w", err)
			}
			file, err := openFile(cmd.Context(), args[0], store.ReadWrite, store.WithClock(console.Now))
			if err != nil {
				return err
			}
			if err := startsIn(file.Machine(), options.Start); err != nil {
				return errors.Join(fmt.Errorf("station: %w", err), file.Close())
			}
			known, err := judged(cmd.Context(), file.Snapshot())
			if err != nil {
				return errors.Join(err, file.Close())
			}
			s := newStationOver(file, known, options, console)
			err = s.run(cmd.Context(), bufio.NewReader(cmd.InOrStdin()))
			return errors.Join(err, s.file.Close())
		},
	}
	words.flags(cmd)
	return cmd
}

// station is one sitting at the bench.
type station struct {
	file    *store.File
	console *Console
	known   *faults.Diagnosis // of a snapshot of the file
	planner *nextprobe.Planner
	sitting []sat // readings of this sitting, those taken back left out
	kept    []keptReading
	stale   bool // the map is another one than the probe was worked out from
	left    bool // the planner still works on what nobody waits for: see next
}

func newStationOver(file *store.File, known *faults.Diagnosis, options nextprobe.Options, console *Console) *station {
	return &station{file: file, console: console, known: known, planner: nextprobe.New(known, options)}
}

// stationEnd is the last line.
type stationEnd struct {
	Done    bool             `json:"done"`
	Stopped bool             `json:"stopped,omitempty"` // before nothing was worth probing
	Verdict []faults.Finding `json:"verdict"`
	Proven  faults.Proven    `json:"proven"`
	Probes  int              `json:"probes"`
	// Why says why nothing is asked while something is live.
	Why string `json:"why,omitempty"`
}

// run asks and listens until nothing is worth probing, somebody stops, or the
// context ends.
func (s *station) run(ctx context.Context, in *bufio.Reader) error {
	reading, stop := context.WithCancel(ctx)
	defer stop()
	lines := readLines(reading, in)
	proposal, err := s.next(ctx)
	for {
		if err != nil {
			return s.end(ctx, true)
		}
		if proposal.Done {
			return s.end(ctx, false)
		}
		if err := s.console.printJSON(proposal); err != nil {
			return err
		}
		line, more := nextLine(ctx, lines)
		if !more {
			return s.end(ctx, true)
		}
		next, wrong := s.answer(ctx, line, proposal)
		switch {
		case errors.Is(wrong, errStop):
			return s.end(ctx, true)
		case wrong != nil && badAnswer(wrong):
			if err := s.console.printJSON(stationError{oneLine(wrong.Error())}); err != nil {
				return err
			}
		case wrong != nil:
			return wrong
		}
		if next || s.stale {
			s.stale = false
			proposal, err = s.next(ctx)
		}
	}
}

// next asks for a probe; errStop where ctx ends before it is there: then the planner
// still works, and nothing more is asked of what is known.
func (s *station) next(ctx context.Context) (nextprobe.Proposal, error) {
	if s.left || ctx.Err() != nil {
		return nextprobe.Proposal{}, errStop
	}
	proposal, err := proposed(ctx, s.planner)
	if err != nil {
		s.left, err = true, errStop
	}
	return proposal, err
}

// diagnose makes everything anew from the file; errStop where ctx ends before it is
// done.
func (s *station) diagnose(ctx context.Context) error {
	if s.left {
		return errStop
	}
	known, err := judged(ctx, s.file.Snapshot())
	if err != nil {
		return errStop
	}
	s.known = known
	s.planner.Follow(known)
	return nil
}

func (s *station) end(ctx context.Context, stopped bool) error {
	if err := s.lastTry(ctx); err != nil {
		return err
	}
	if !s.left {
		if err := s.refresh(ctx); err != nil {
			return err
		}
	}
	report := s.known.Report()
	why := ""
	if live, is := report.Live(); is {
		why = live.Headline + ". " + live.Advice
	}
	return s.console.printJSON(stationEnd{Why: why, Done: true, Stopped: stopped, Verdict: report.Findings, Proven: report.Proven, Probes: s.standing()})
}

type stationError struct {
	Error string `json:"error"`
}

// answerError is an answer that cannot be taken; the sitting goes on.
type answerError struct{ error }

func (e answerError) Unwrap() error { return e.error }

func badAnswer(err error) bool {
	var bad answerError
	return errors.As(err, &bad)
}

var errStop = errors.New("stop")

// mostAnswer is how long a line may be, in bytes.
const mostAnswer = 1 << 16

// readLines reads lines beside the sitting, because a read from a terminal
// cannot be broken off. The channel closes where the input ends.
func readLines(ctx context.Context, in *bufio.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for {
			line, err := readLine(in)
			if err != nil {
				return
			}
			select {
			case lines <- line:
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// nextLine waits for a line; false where there is none, or the context ended.
func nextLine(ctx context.Context, lines <-chan string) (line string, more bool) {
	if ctx.Err() != nil {
		return "", false
	}
	select {
	case line, more = <-lines:
		return line, more
	case <-ctx.Done():
		return "", false
	}
}

// readLine returns the next line that is not empty; an error at the end of the
// input, and where it breaks.
func readLine(in *bufio.Reader) (string, error) {
	for {
		var line []byte
		for {
			piece, more, err := in.ReadLine()
			if err != nil {
				return "", err
			}
			if len(line) <= mostAnswer {
				line = append(line, piece...)
			}
			if !more {
				break
			}
		}
		if text := strings.TrimSpace(string(line)); text != "" {
			return text, nil
		}
	}
}

// answer does what one line says. Next is true where another probe is due.
func (s *station) answer(ctx context.Context, line string, proposal nextprobe.Proposal) (next bool, err error) {
	words, err := readAnswer(line)
	if err != nil {
		return false, err
	}
	switch {
	case words.stop:
		return false, errStop
	case words.skip:
		if proposal.Ask != nil {
			s.planner.SkipAsk(*proposal.Ask)
		} else {
			s.planner.Skip(*proposal.Probe)
		}
		return true, nil
	case words.undo:
		if dropped, err := s.undoKept(); dropped {
			return false, err
		}
		return true, goesOn(s.undo(ctx))
	case words.saves:
		return false, s.save(ctx, words.save)
	}
	switch {
	case proposal.Ask != nil && words.symptom == "":
		return false, answerError{fmt.Errorf("%s was to be looked at, not measured; write one of %s", proposal.Ask.Device, symptomList())}
	case proposal.Ask != nil:
		return true, s.storeSymptom(ctx, words, *proposal.Ask)
	case words.symptom != "":
		return false, answerError{fmt.Errorf("%s is no reading; %s", words.symptom, answerForms)}
	}
	return true, s.store(ctx, words.shows, *proposal.Probe)
}

// store keeps a reading, and says what it means.
func (s *station) store(ctx context.Context, shows model.Display, probe nextprobe.Probe) error {
	mode, err := shows.Mode(probe.Mode)
	if err != nil {
		return answerError{err}
	}
	reading := probe.Reading(shows.Value)
	reading.Mode, reading.Drift, reading.Note = mode, shows.Drift, shows.Note
	reading.At = s.console.Now().Truncate(time.Second)
	if complaints := reading.ValidateNew(); len(complaints) > 0 {
		return answerError{complaints[0]}
	}
	s.keep(reading, probe)
	return s.storeKept(ctx)
}

// storeOne stores a reading, and says what it means.
func (s *station) storeOne(ctx context.Context, k *keptReading) error {
	reading := k.reading
	for attempt := 0; ; attempt++ {
		for _, tip := range [2]model.TerminalRef{reading.Red, reading.Black} {
			if _, there := s.file.Machine().TerminalIndex(tip); !there {
				return answerError{fmt.Errorf("another program took %s out of the map meanwhile; the reading is not stored, go on with the next probe", tip)}
			}
		}
		var found *faults.Discovery
		if !s.left {
			found = s.known.Discover(reading)
		}
		before := s.known
		stored, is := s.storedBefore(*k)
		if !is {
			number, err := s.file.Log(reading, found.Changes()...)
			if errors.Is(err, store.ErrChanged) && attempt < maxAttempts {
				s.reopen(ctx) // another program wrote: the reading is judged against what is there now
				continue
			}
			if err != nil {
				k.means = s.wouldMean(ctx, reading)
				return err
			}
			stored, _ = s.file.Machine().Reading(number)
		}
		meaning := faults.Meaning{Outcome: judge.Undecided, Message: "Stored; the sitting was stopped before it was worked out what this means."}
		stopped := s.diagnose(ctx)
		if stopped == nil {
			meaning = s.known.Meaning(stored.Number, before, found)
		}
		if reading.Mode.Volts() == k.probe.Mode.Volts() { // volts that were met in a dead test are no answer to it
			s.planner.Took(k.probe)
		}
		taken := sat{number: stored.Number}
		if found != nil {
			taken.wire = &found.Wire
		}
		s.sitting = append(s.sitting, taken)
		return errors.Join(s.console.printJSON(answered(stored.Number, meaning)), stopped)
	}
}

// wouldMean says what a reading means that the file does not take.
func (s *station) wouldMean(ctx context.Context, reading model.Reading) string {
	if s.left {
		return ""
	}
	meaning, err := until(ctx, func() (faults.Meaning, error) { return s.known.Suppose(reading), nil })
	if err != nil {
		s.left = true // it is still being worked out
	}
	return meaning.Message
}

// reopen looks at the machine anew, after somebody else changed it.
func (s *station) reopen(ctx context.Context) {
	if s.diagnose(ctx) == nil {
		s.stale = true
	}
}

// refresh looks whether somebody else changed the file.
func (s *station) refresh(ctx context.Context) error {
	changed, err := s.file.Refresh()
	if changed {
		s.reopen(ctx)
	}
	return err
}
