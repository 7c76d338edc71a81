package model

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseValue(t *testing.T) {
	number := func(value float64) Value { return Value{Number: value} }
	for text, want := range map[string]Value{
		"beep": {Kind: ShowsBeep}, "Beep": {Kind: ShowsBeep}, "silent": {Kind: ShowsSilent}, "OL": {Kind: ShowsOL}, "ol": {Kind: ShowsOL}, "O.L": {Kind: ShowsOL},
		"12.5": number(12.5), "-0.7": number(-0.7), "0": number(0), "4.7k": number(4700), "4.7K": number(4700), "1M": number(1e6), " 3 ": number(3),
	} {
		if got, err := ParseValue(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "k", "M", "1m", "1kk", "NaN", "Inf", "1e308M", "1e308k", "beeps", "4,7", "0x4", "1 k ohm"} {
		if got, err := ParseValue(bad); err == nil {
			t.Errorf("%q became %+v", bad, got)
		}
	}
}

func anyValue() *rapid.Generator[Value] {
	return rapid.Custom(func(t *rapid.T) Value {
		kind := ValueKind(rapid.IntRange(int(ShowsNumber), int(ShowsSilent)).Draw(t, "kind"))
		if kind != ShowsNumber {
			return Value{Kind: kind}
		}
		return Value{Number: rapid.Float64Range(-MaxNumber, MaxNumber).Draw(t, "number")}
	})
}

func TestValueReadsWhatItPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := anyValue().Draw(t, "value")
		if again, err := ParseValue(value.String()); err != nil || again != value {
			t.Fatalf("%q became %+v, %v", value, again, err)
		}
		text, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		var again Value
		if err := json.Unmarshal(text, &again); err != nil || again != value {
			t.Fatalf("%s became %+v, %v", text, again, err)
		}
	})
}

func FuzzParseValue(f *testing.F) {
	for _, seed := range []string{"beep", "OL", "12.5", "4.7k", "1M", "-0", "1e300M", "o.l."} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		value, err := ParseValue(text)
		if err != nil {
			return
		}
		if value.Kind == ShowsNumber && (math.IsNaN(value.Number) || math.IsInf(value.Number, 0)) {
			t.Errorf("%q became %v", text, value.Number)
		}
		if again, err := ParseValue(value.String()); err != nil || again != value {
			t.Errorf("%q became %v, and that %v, %v", text, value, again, err)
		}
	})
}

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
