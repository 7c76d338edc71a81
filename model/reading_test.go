package model

import (
	"testing"
	"time"
)

func TestModeAndValueBelongTogether(t *testing.T) {
	shown := map[ValueKind]string{ShowsNumber: "a number", ShowsOL: "OL", ShowsBeep: "beep", ShowsSilent: "silent"}
	// The contract's list of modes and what each may show.
	allowed := map[Mode][]ValueKind{
		ModeContinuity: {ShowsBeep, ShowsSilent}, ModeOhms: {ShowsNumber, ShowsOL}, ModeDiode: {ShowsNumber, ShowsOL},
		ModeVoltsDC: {ShowsNumber}, ModeVoltsAC: {ShowsNumber},
	}
	for _, mode := range Modes {
		for kind, name := range shown {
			want := false
			for _, good := range allowed[mode] {
				want = want || good == kind
			}
			r := Reading{Red: TerminalRef{"A", "1"}, Black: TerminalRef{"A", "2"}, Mode: mode, Value: Value{Kind: kind}}
			if got := len(r.Validate()) == 0; got != want {
				t.Errorf("mode %s with %s is taken: %v, want %v", mode, name, got, want)
			}
		}
	}
	if mode := (Value{Kind: ShowsBeep}).DefaultMode(); mode != ModeContinuity {
		t.Errorf("a beep implies %s", mode)
	}
	if mode := (Value{Kind: ShowsOL}).DefaultMode(); mode != ModeOhms {
		t.Errorf("OL implies %s", mode)
	}
}

func TestTimesThatRFC3339CannotWrite(t *testing.T) {
	for name, at := range map[string]time.Time{
		"the year 10000":     time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC),
		"a year before zero": time.Date(-5, 1, 1, 0, 0, 0, 0, time.UTC),
		"seconds in a zone":  time.Date(1900, 1, 1, 0, 0, 0, 0, time.FixedZone("", 1172)),
	} {
		r := Reading{At: at, Red: TerminalRef{"A", "1"}, Black: TerminalRef{"A", "2"}, Mode: ModeOhms}
		d := Device{Ref: "A", Health: HealthFailed, FailedAt: at}
		if len(r.Validate()) == 0 || len(d.Validate()) == 0 {
			t.Errorf("%s is taken", name)
		}
	}
}
