package model

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// anyName draws what may be a reference, a mark or a wire's name.
func anyName() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"G1", "+", "-", "1-2", "A1.B", "ü", "-X1", "W007", "W7", "W10", "→"}),
		rapid.StringMatching(`[^\s;:\p{Cc}]{1,8}`),
	).Filter(func(text string) bool { return checkName(text) == nil })
}

func anyReference() *rapid.Generator[string] {
	return anyName().Filter(func(text string) bool { return checkReference(text) == nil })
}

func TestALeadingMinusIsRefusedInReferencesOnly(t *testing.T) {
	if _, err := ParseTerminalRef("-G1:+"); err == nil || !strings.Contains(err.Error(), "write G1 without the leading -") {
		t.Errorf("got %v", err)
	}
	if ref, err := ParseTerminalRef("G1:-V"); err != nil || ref.Mark != "-V" {
		t.Errorf("got %v, %v", ref, err)
	}
	for _, complaints := range [][]FieldError{Device{Ref: "-G1", Health: HealthOK}.Validate(), Terminal{Device: "-G1", Mark: "-"}.Validate()} {
		if len(complaints) != 1 || complaints[0].Mend != "write G1 without the leading -" {
			t.Errorf("got %v", complaints)
		}
	}
	if complaints := (Device{Ref: "-", Health: HealthOK}).Validate(); len(complaints) != 1 {
		t.Errorf("got %v", complaints)
	}
}

func anyRef() *rapid.Generator[TerminalRef] {
	return rapid.Custom(func(t *rapid.T) TerminalRef {
		return TerminalRef{Device: anyReference().Draw(t, "device"), Mark: anyName().Draw(t, "mark")}
	})
}

func TestTerminalRefReadsWhatItPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ref := anyRef().Draw(t, "ref")
		if again, err := ParseTerminalRef(ref.String()); err != nil || again != ref {
			t.Fatalf("%q became %+v, %v", ref, again, err)
		}
		text, err := json.Marshal(ref)
		if err != nil {
			t.Fatal(err)
		}
		var again TerminalRef
		if err := json.Unmarshal(text, &again); err != nil || again != ref {
			t.Fatalf("%s became %+v, %v", text, again, err)
		}
	})
}

func TestBadTerminalRefs(t *testing.T) {
	for _, bad := range []string{"", ":", "G1", "G1:", ":+", "G1:+:2", "G 1:+", "G1:+ ", "G1;G2:+", "G1:\x00", "G1:\t", "G1:\u00a0", "\xff:1",
		strings.Repeat("x", MaxNameLength+1) + ":1"} {
		if got, err := ParseTerminalRef(bad); err == nil {
			t.Errorf("%q became %+v", bad, got)
		} else if strings.ContainsAny(err.Error(), "\n\x00") {
			t.Errorf("%q: the error is not one clean line: %q", bad, err)
		}
	}
	if text := (TerminalRef{}).String(); text != "" {
		t.Errorf("no terminal is printed %q", text)
	}
}

func FuzzParseTerminalRef(f *testing.F) {
	for _, seed := range []string{"G1:+", "A:x-y", "::", "ü:→", "G1:+:", "-K3:A1"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ref, err := ParseTerminalRef(text)
		if err != nil {
			return
		}
		if ref.String() != text {
			t.Errorf("%q is printed %q", text, ref)
		}
		if complaints := (Terminal{Device: ref.Device, Mark: ref.Mark}).Validate(); len(complaints) > 0 {
			t.Errorf("%q is taken, and Validate says %v", text, complaints)
		}
	})
}

func TestTerminalLimits(t *testing.T) {
	cases := []struct {
		name             string
		terminal         Terminal
		minimum, maximum Optional
	}{
		{"0.9 and 1.1 of the volts, where nothing else is said", Terminal{Volts: Known(12)}, Known(0.9 * 12), Known(1.1 * 12)},
		{"lowest first below zero too", Terminal{Volts: Known(-12)}, Known(1.1 * -12), Known(0.9 * -12)},
		{"its own limits count", Terminal{Volts: Known(12), MinVolts: Known(9), MaxVolts: Known(30)}, Known(9), Known(30)},
		{"one limit of its own", Terminal{Volts: Known(10), MaxVolts: Known(30)}, Known(9), Known(30)},
		{"nothing is known", Terminal{}, Optional{}, Optional{}},
	}
	for _, c := range cases {
		near := func(a, b Optional) bool { return a.Known == b.Known && math.Abs(a.Value-b.Value) < 1e-9 }
		if low, high := c.terminal.Limits(); !near(low, c.minimum) || !near(high, c.maximum) {
			t.Errorf("%s: %v to %v, want %v to %v", c.name, low, high, c.minimum, c.maximum)
		}
	}
}
