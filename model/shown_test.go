package model

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseDisplay(t *testing.T) {
	const (
		ohms, dc, ac, diode, continuity = ModeOhms, ModeVoltsDC, ModeVoltsAC, ModeDiode, ModeContinuity
	)
	for _, c := range []struct {
		typed string
		mode  Mode
		shows string
		drift Drift
		note  string
	}{
		// a unit with a space is a unit
		{"24 V", dc, "24", "", ""}, {"24V", dc, "24", "", ""}, {"24 volts", dc, "24", "", ""}, {"24\u00a0V", dc, "24", "", ""},
		{"4.7 kohm", ohms, "4700", "", ""}, {"4.7 k ohm", ohms, "4700", "", ""}, {"4.7kohms", ohms, "4700", "", ""}, {"4.7 KOHM", ohms, "4700", "", ""},
		{"12.5 k", ohms, "12500", "", ""}, {"12.5k", ohms, "12500", "", ""}, {"12.5K", ohms, "12500", "", ""}, {"12.5 kilohm", ohms, "12500", "", ""},
		{"4.7 kΩ", ohms, "4700", "", ""}, {"4.7 k\u2126", ohms, "4700", "", ""}, {"4.7 kω", ohms, "4700", "", ""}, {"0.3 Ω", ohms, "0.3", "", ""}, {"0.3 \u2126", ohms, "0.3", "", ""},
		{"1M", ohms, "1000000", "", ""}, {"1 M", ohms, "1000000", "", ""}, {"1 Mohm", ohms, "1000000", "", ""}, {"1.2 meg", ohms, "1200000", "", ""}, {"1.2 Megohm", ohms, "1200000", "", ""}, {"2 G", ohms, "2000000000", "", ""},
		{"0.3R", ohms, "0.3", "", ""}, {"0.3 r", ohms, "0.3", "", ""}, {"12.5 ohms.", ohms, "12.5", "", ""},
		// milli with its sign, or where volts leave no doubt
		{"4.7 mΩ", ohms, "0.0047", "", ""}, {"4.7 mOhm", ohms, "0.0047", "", ""}, {"350 mV", dc, "0.35", "", ""}, {"350mv", dc, "0.35", "", ""}, {"12 µV", dc, "0.000012", "", ""}, {"12 \u03bcV", dc, "0.000012", "", ""}, {"1.2 kV", dc, "1200", "", ""},
		// the point in the place of the unit, IEC 60062
		{"4k7", ohms, "4700", "", ""}, {"4K7", ohms, "4700", "", ""}, {"2M2", ohms, "2200000", "", ""}, {"0R33", ohms, "0.33", "", ""}, {"4k7 ohm", ohms, "4700", "", ""}, {"3V3", dc, "3.3", "", ""},
		// direct and alternating
		{"24 V DC", dc, "24", "", ""}, {"24VDC", dc, "24", "", ""}, {"24 V d.c.", dc, "24", "", ""}, {"230 VAC", ac, "230", "", ""}, {"230 V AC", ac, "230", "", ""}, {"1.8V~", ac, "1.8", "", ""}, {"1.8 V ~", ac, "1.8", "", ""}, {"24 mV AC", ac, "0.024", "", ""},
		{"0.55d", diode, "0.55", "", ""}, {"0.55 V diode", diode, "0.55", "", ""}, {"550 mV diode", diode, "0.55", "", ""}, {"OL diode", diode, "OL", "", ""},
		// decimal commas, and three figures behind a point
		{"12,5", ohms, "12.5", "", ""}, {"4,7k", ohms, "4700", "", ""}, {"11,98 V", dc, "11.98", "", ""}, {"0,200", ohms, "0.2", "", ""}, {"1,2000", ohms, "1.2", "", ""}, {"1.200", ohms, "1.2", "", ""}, {"1.200 V", dc, "1.2", "", ""},
		{".5", ohms, "0.5", "", ""}, {",5", ohms, "0.5", "", ""}, {"5.", ohms, "5", "", ""}, {"1.001k", ohms, "1001", "", ""}, {"1e3", ohms, "1000", "", ""}, {"+24 V", dc, "24", "", ""},
		// signs
		{"-0.3 V", dc, "-0.3", "", ""}, {"\u22120.3 V", dc, "-0.3", "", ""}, {"- 0.3 V", dc, "-0.3", "", ""}, {"-0.02 ohm", ohms, "-0.02", "", ""},
		// words
		{"b", continuity, "beep", "", ""}, {"BEEP", continuity, "beep", "", ""}, {"beeps", continuity, "beep", "", ""}, {"s", continuity, "silent", "", ""}, {"silent", continuity, "silent", "", ""},
		{"no beep", continuity, "silent", "", ""}, {"doesn't beep", continuity, "silent", "", ""}, {"no continuity", continuity, "silent", "", ""},
		{"OL", ohms, "OL", "", ""}, {"ol", ohms, "OL", "", ""}, {"0L", ohms, "OL", "", ""}, {"O.L.", ohms, "OL", "", ""}, {"0.L", ohms, "OL", "", ""}, {"open", ohms, "OL", "", ""}, {"open circuit", ohms, "OL", "", ""}, {"overload", ohms, "OL", "", ""}, {"∞", ohms, "OL", "", ""}, {"OL Mohm", ohms, "OL", "", ""}, {"OLkohm", ohms, "OL", "", ""},
		// what instruments send for an overload: scpi.csv
		{"9.9E37", ohms, "OL", "", ""}, {"+9.90000000E+37", ohms, "OL", "", ""}, {"9.9000003e37", ohms, "OL", "", ""}, {"1.0000E+8", ohms, "100000000", "", ""},
		// what follows
		{"4.7k rising", ohms, "4700", DriftRising, ""}, {"220 rising big one", ohms, "220", DriftRising, "big one"}, {"24 V, lamp on", dc, "24", "", "lamp on"}, {"24 V DC lamp on", dc, "24", "", "lamp on"}, {"24 V a bit low", dc, "24", "", "a bit low"},
		{"12 kitchen", ohms, "12", "", "kitchen"}, {"OL when hot", ohms, "OL", "", "when hot"}, {"open a while", ohms, "OL", "", "a while"}, {"b, at the hinge", continuity, "beep", "", "at the hinge"}, {"5 V1 pulled", ohms, "5", "", "V1 pulled"}, {"4 K7 out", ohms, "4", "", "K7 out"}, {"12 V 24 V side", "", "", "", ""},
	} {
		got, err := ParseDisplay(c.typed)
		if c.mode == "" {
			if err == nil {
				t.Errorf("%q is taken as %+v", c.typed, got)
			}
			continue
		}
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		mode, err := got.Mode("")
		if mode != c.mode || err != nil || got.Value.String() != c.shows || got.Drift != c.drift || got.Note != c.note {
			t.Errorf("%q is read as %s in %s, %q, note %q, %v", c.typed, got.Value, mode, got.Drift, got.Note, err)
		}
	}
}

// TestWhatMayBeMeantInTwoWaysIsAskedAbout: the line names both.
func TestWhatMayBeMeantInTwoWaysIsAskedAbout(t *testing.T) {
	for typed, says := range map[string]string{
		"1,200": "1.2 or 1200?", "1,200 V": "1.2 or 1200?", "4,700 k": "4.7 or 4700?", "12,500": "12.5 or 12500?",
		"1 200": "1 or 1200?", "1\u202f200": "1 or 1200?",
		"1.234.567": "write 1234567", "1,234,567": "write 1234567", "1,000.5": "write 1000.5", "1.200,5": "write 1200.5", "1'200": "write 1200", "1’200,5": "write 1200.5",
		"12 m": "milli or mega? write 0.012 or 12000000", "12m": "milli or mega?", "4.7 mohm": "write 0.0047 or 4700000 ohm", "4.7mohms": "milli or mega?", "2m2": "milli or mega? write 0.0022 or 2200000 ohm", "350 MV": "write 0.35 or 350000000 V",
		"-0.3": "volts or ohms?", "-4k": "volts or ohms?", "2 A": "amperes", "200 mA": "amperes", "5 a bit": "amperes",
		"50 Hz": "unit", "24 DC": "unit", "47 uF": "unit", "12 5": "two numbers", "24 V 5 min": "two numbers", "beep 0.3": "two numbers", "beep V": "begin with the unit V",
		"230 V AC 50 Hz": "two numbers", "220 V kohm": "begin with the unit kohm", "OL V": "over the range", "OL V AC": "over the range", "OLV": "over the range",
		"9.91E37": "no measurement", "-9.9E37": "overload below zero", "1e999": "more than", "": "no reading", "x": "no reading", "V": "no reading", "12..5": "no reading", "1,2,3": "no reading", "--3": "no reading", "NaN": "no reading", "0x10": "x10", "4.7q": "no unit", "1e": "no unit", "1_000": "no unit",
	} {
		display, err := ParseDisplay(typed)
		if err == nil {
			_, err = display.Mode("")
		}
		if err == nil || !strings.Contains(err.Error(), says) || strings.ContainsAny(err.Error(), "\n\r") {
			t.Errorf("%q: %v, want %q", typed, err, says)
		}
	}
}

func TestTheRangeThatWasAskedForStands(t *testing.T) {
	for _, c := range []struct {
		typed string
		asked Mode
		want  Mode
	}{
		{"24", ModeVoltsDC, ModeVoltsDC}, {"24 V", ModeVoltsAC, ModeVoltsAC}, {"24 V", ModeDiode, ModeDiode}, {"24 V", ModeOhms, ModeVoltsDC}, {"24 V DC", ModeVoltsAC, ModeVoltsDC},
		{"0.3", ModeContinuity, ModeOhms}, {"b", ModeOhms, ModeContinuity}, {"OL", ModeContinuity, ModeOhms}, {"OL", ModeDiode, ModeDiode}, {"b", ModeVoltsDC, ModeVoltsDC}, {"-0.3", ModeVoltsDC, ModeVoltsDC}, {"-0.02", ModeOhms, ModeOhms},
	} {
		shown, err := ParseShown(c.typed)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := shown.Mode(c.asked); got != c.want || err != nil {
			t.Errorf("%s asked for in %s is %s, %v; want %s", c.typed, c.asked, got, err, c.want)
		}
	}
	for typed, stated := range map[string]Mode{"24 V": ModeOhms, "24 V DC": ModeVoltsAC, "0.3 ohm": ModeContinuity, "4k7": ModeVoltsDC} {
		shown, err := ParseShown(typed)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := shown.Under(stated); err == nil {
			t.Errorf("%s stated to be %s is taken as %s", typed, stated, got)
		}
	}
	if got, err := (Shown{Value: Value{Number: -0.3}}).Under(ModeOhms); got != ModeOhms || err != nil {
		t.Errorf("-0.3 stated to be ohms: %s, %v", got, err)
	}
}

// TestNoReadingIsBeyondWhatAMeterShows: what is to be stored passes the limits; what
// a file of an earlier version holds may be struck out with its value.
func TestNoReadingIsBeyondWhatAMeterShows(t *testing.T) {
	for _, c := range []struct {
		mode   Mode
		number float64
		taken  bool
	}{
		{ModeOhms, 1e308, false}, {ModeOhms, 1e14, false}, {ModeOhms, 2e12, true}, {ModeOhms, 0, true}, {ModeOhms, -0.02, true}, {ModeOhms, -5, false},
		{ModeVoltsDC, 1e6, false}, {ModeVoltsDC, -40e3, true}, {ModeVoltsAC, 1e308, false}, {ModeVoltsAC, 230, true}, {ModeDiode, 2.5, true}, {ModeDiode, 100, false},
	} {
		r := Reading{Red: TerminalRef{"A", "1"}, Black: TerminalRef{"A", "2"}, Mode: c.mode, Value: Value{Number: c.number}}
		if got := len(r.ValidateNew()) == 0; got != c.taken {
			t.Errorf("%s %v is taken: %v", c.mode, c.number, got)
		}
		if r.Struck = "no meter shows this"; len(r.ValidateNew()) != 0 || len(r.Validate()) != 0 {
			t.Errorf("%s %v struck out is refused", c.mode, c.number)
		}
	}
}

func anyValue() *rapid.Generator[Value] {
	return rapid.Custom(func(t *rapid.T) Value {
		kind := ValueKind(rapid.IntRange(int(ShowsNumber), int(ShowsSilent)).Draw(t, "kind"))
		if kind != ShowsNumber {
			return Value{Kind: kind}
		}
		return Value{Number: rapid.Float64Range(-MaxNumber, MaxNumber).Draw(t, "number") + 0} // no -0
	})
}

func TestShownReadsWhatItPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shown := Shown{Value: anyValue().Draw(t, "value")}
		switch shown.Value.Kind {
		case ShowsNumber:
			shown.Unit = rapid.SampledFrom([]Unit{NoUnit, UnitOhm, UnitVolt, UnitVoltDC, UnitVoltAC, UnitDiode}).Draw(t, "unit")
		case ShowsOL:
			shown.Unit = rapid.SampledFrom([]Unit{NoUnit, UnitOhm, UnitDiode}).Draw(t, "unit")
		}
		if again, err := ParseShown(shown.String()); err != nil || again != shown {
			t.Fatalf("%q became %+v, %v", shown, again, err)
		}
		text, err := json.Marshal(shown.Value)
		if err != nil {
			t.Fatal(err)
		}
		var again Value
		if err := json.Unmarshal(text, &again); err != nil || again != shown.Value {
			t.Fatalf("%s became %+v, %v", text, again, err)
		}
	})
}

// TestFilesOfEarlierVersionsAreRead: such a value got in before there was a limit.
func TestFilesOfEarlierVersionsAreRead(t *testing.T) {
	var value Value
	if err := json.Unmarshal([]byte(`"1e+308"`), &value); err != nil || value.Number != 1e308 {
		t.Errorf("read as %v, %v", value, err)
	}
	for _, bad := range []string{`"NaN"`, `"Inf"`, `"4.7k"`, `"1e999"`, `""`} {
		if err := json.Unmarshal([]byte(bad), &value); err == nil {
			t.Errorf("%s is taken as %v", bad, value)
		}
	}
}

// FuzzParseDisplay: whatever is typed, no value is infinite, what was read is read
// again from what it prints, a note begins with no unit and no digit, and an error is
// one line.
func FuzzParseDisplay(f *testing.F) {
	for _, seed := range []string{"beep", "no beep", "OL", "OLV", "12.5", "4.7 k", "1M", "-0", "1e300M", "o.l.", "24 V DC lamp on", "1,200", "1 200", "1’200,5", "4k7", "2M2 ohm", "350 mV", "12 m", "9.9E37", "0.55d rising", "- 0.3 V", "12, k", "5 a bit", "3V3V"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		display, err := ParseDisplay(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\r\n") {
				t.Errorf("an error of several lines: %q", err)
			}
			return
		}
		if math.IsNaN(display.Value.Number) || math.IsInf(display.Value.Number, 0) {
			t.Errorf("%q became %v", text, display.Value.Number)
		}
		if again, err := ParseShown(display.Shown.String()); err != nil || again != display.Shown {
			t.Errorf("%q became %q, and that %+v, %v", text, display.Shown, again, err)
		}
		if first, _, _ := strings.Cut(display.Note, " "); first != "" && display.Drift == "" && display.Unit == NoUnit && display.Value.Kind == ShowsNumber {
			if longer, err := ParseShown("1 " + first); err == nil {
				t.Errorf("%q: the note %q begins with what belongs to a value, %+v", text, display.Note, longer)
			}
		}
	})
}
