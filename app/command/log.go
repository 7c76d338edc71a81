package command

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/store"
)

// logWords are the words of a log as they were typed.
type logWords struct {
	red, black, value  string
	mode               string
	when               []string
	drift, note, meter string
	at                 string
}

func newLog(console *Console) *cobra.Command {
	var words logWords
	cmd := &cobra.Command{
		Use:   "log FILE RED BLACK VALUE",
		Short: "store one reading, and say what it means",
		Long: `Stores what the meter showed with its red tip on RED and its black tip on BLACK,
then says what that means: whether it agrees with the map, found a wire that the
map does not have, contradicts the map, or cannot tell. The reading is on disk
before the answer appears.

VALUE is beep, silent, OL or a number with or without its unit: 12.5, "4.7 kohm",
4k7, 24V, "1.8 V AC", 350mV, "0.55 V diode". A number without one is ohms, or what
--mode says; behind it may stand rising, falling or steady, and a note. What may be
meant in two ways, as 1,200 or 12 m, is asked about and not stored. A stored ohms
value includes your leads.`,
		Example: `  bellout log lock.bellout G1:+ F1:1 beep
  bellout log lock.bellout G1:+ G2:+ 4.7k --when "unplugged J4"
  bellout log lock.bellout A1:+ A1:- 11.98V
  bellout log lock.bellout C1:+ C1:- 220 --drift rising --note "big capacitor"`,
		Args: wants("FILE", "RED", "BLACK", "VALUE"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 3 {
				return []string{"beep", "silent", "OL"}, cobra.ShellCompDirectiveNoFileComp
			}
			return completeFrom(2, terminalNames)(cmd, args, typed)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			words.red, words.black, words.value = args[1], args[2], bare(args[3])
			return logReading(cmd.Context(), args[0], words, console, wantsJSON(cmd))
		},
	}
	modeFlag(cmd, &words.mode, model.Modes, "continuity for beep and silent, ohms for the rest")
	whenFlag(cmd, &words.when)
	cmd.Flags().StringVar(&words.drift, "drift", "", "the `DRIFT` of the value while the tips stayed on: steady, rising, falling")
	cmd.Flags().StringVar(&words.note, "note", "", "a `NOTE` of your own")
	cmd.Flags().StringVar(&words.meter, "meter", "", "which `METER` it was")
	cmd.Flags().StringVar(&words.at, "at", "", "the `TIME` in RFC 3339, as in 2026-05-04T12:00:00Z (default now)")
	completeFlag(cmd, "drift", []string{string(model.DriftSteady), string(model.DriftRising), string(model.DriftFalling)})
	return cmd
}

type logAnswer struct {
	Reading  int64            `json:"reading"`
	Outcome  judge.Outcome    `json:"outcome"`
	Message  string           `json:"message"`
	Findings []faults.Finding `json:"findings"`
}

// answered is what a stored reading means.
func answered(number int64, m faults.Meaning) logAnswer {
	return logAnswer{Reading: number, Outcome: m.Outcome, Message: m.Message, Findings: listed(m.Findings)}
}

func logReading(ctx context.Context, path string, words logWords, console *Console, asJSON bool) error {
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(console.Now))
	if err != nil {
		return err
	}
	answer, err := storeReading(ctx, file, words, console.Now())
	machine := file.Machine()
	if err != nil {
		return errors.Join(err, file.Close())
	}
	err = file.Close()
	switch {
	case err != nil:
	case asJSON:
		err = console.printJSON(answer)
	default:
		err = console.print(func(p *textout.Page) { layLogged(p, machine, answer) })
	}
	if err != nil { // whoever repeats the command now would store the touch twice
		return fmt.Errorf("reading %d is stored, but not answered: %w", answer.Reading, err)
	}
	return nil
}

// storeReading stores what the words say. Where another program wrote to the
// file meanwhile, the words are read anew against the machine that is there
// now.
func storeReading(ctx context.Context, file *store.File, words logWords, now time.Time) (logAnswer, error) {
	for attempt := 0; ; attempt++ {
		answer, err := tryToStore(ctx, file, words, now)
		if !errors.Is(err, store.ErrChanged) || attempt == maxAttempts {
			return answer, err
		}
	}
}

// maxAttempts is how often a write is tried again when others write too.
const maxAttempts = 5

func tryToStore(ctx context.Context, file *store.File, words logWords, now time.Time) (logAnswer, error) {
	machine := file.Machine()
	reading, err := words.reading(machine, now)
	if err != nil {
		return logAnswer{}, fmt.Errorf("log: %w", err)
	}
	before, err := judged(ctx, file.Snapshot())
	if err != nil {
		return logAnswer{}, err
	}
	found := before.Discover(reading)
	number, err := file.Log(reading, found.Changes()...)
	if err != nil {
		return logAnswer{}, err
	}
	after, err := judged(ctx, file.Machine())
	if err != nil { // whoever repeats the command now would store the touch twice
		return logAnswer{}, fmt.Errorf("reading %d is stored, but not answered: stopped", number)
	}
	return answered(number, after.Meaning(number, before, found)), nil
}

// reading makes a reading of the words.
func (w logWords) reading(machine *model.Machine, now time.Time) (model.Reading, error) {
	var none model.Reading
	red, black, err := readTips(machine, w.red, w.black)
	if err != nil {
		return none, err
	}
	stated, err := readMode(w.mode, model.Modes, "")
	if err != nil {
		return none, err
	}
	display, err := model.ParseDisplay(w.value)
	if err != nil {
		return none, fmt.Errorf("VALUE: %w", err)
	}
	mode, err := display.Under(stated)
	if err != nil {
		return none, fmt.Errorf("VALUE: %w", err)
	}
	if err := ownWordsOnce(&display, model.Drift(w.drift), w.note); err != nil {
		return none, fmt.Errorf("VALUE: %w", err)
	}
	conditions, err := readConditions(machine, w.when)
	if err != nil {
		return none, err
	}
	at := now.Truncate(time.Second)
	if w.at != "" {
		if at, err = time.Parse(time.RFC3339, w.at); err != nil {
			return none, fmt.Errorf("--at: %q is no time; write it in RFC 3339, as in 2026-05-04T12:00:00Z", w.at)
		}
		if at.Year() < 1970 {
			return none, fmt.Errorf("--at: %q is before there were such meters; write when the reading was taken, or leave --at out", w.at)
		}
	}
	reading := model.Reading{
		At: at, Red: red, Black: black, Mode: mode, Value: display.Value, Drift: display.Drift,
		Conditions: conditions, Note: display.Note, Meter: w.meter,
	}
	if complaints := reading.ValidateNew(); len(complaints) > 0 {
		return none, complaints[0]
	}
	return reading, nil
}

// ownWordsOnce puts a drift and a note that stand for themselves beside a value that
// was written without them; twice they contradict each other.
func ownWordsOnce(display *model.Display, drift model.Drift, note string) error {
	switch {
	case drift != "" && display.Drift != "" && drift != display.Drift:
		return fmt.Errorf("the value is called %s, and %s beside it; write one of the two", display.Drift, drift)
	case note != "" && display.Note != "":
		return fmt.Errorf("two notes, %q and %q; write one", display.Note, note)
	case drift != "":
		display.Drift = drift
	}
	if note != "" {
		display.Note = note
	}
	return nil
}

var outcomePaint = map[judge.Outcome]textout.Paint{
	judge.Agrees: textout.Green, judge.Discovery: textout.Strong, judge.Contradicts: textout.Red, judge.Undecided: textout.Yellow,
}

func layLogged(p *textout.Page, machine *model.Machine, answer logAnswer) {
	p.Text(p.Paint(outcomePaint[answer.Outcome], string(answer.Outcome)) + fmt.Sprintf(" (reading %d)", answer.Reading))
	p.Text(ownWords(answer))
	if len(answer.Findings) > 0 {
		p.Gap()
		layFindings(p, machine, answer.Findings)
	}
}

// ownWords is what the message says beyond the findings that are printed below
// it.
func ownWords(answer logAnswer) string {
	text := answer.Message
	for _, finding := range answer.Findings {
		text = strings.TrimSuffix(text, " "+finding.Message)
	}
	return text
}
