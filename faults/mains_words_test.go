package faults

import (
	"strings"
	"testing"

	"bellout/faults/judge"
	"bellout/model"
)

func TestAReadingOfTheMainsSideCarriesTheCaution(t *testing.T) {
	m := build(t, `
		device X1 mains-inlet : L line, N neutral
		device G1 supply : L line, N neutral, + rail 12, - return
		device H1 lamp load=1 : + feed 12, - return
		wire W1 X1:L G1:L
		wire W2 X1:N G1:N
		wire W3 G1:+ H1:+
		wire W4 H1:- G1:-`)
	message := func(red, black string, mode model.Mode, value string) string {
		shown, err := model.ParseValue(value)
		if err != nil {
			t.Fatal(err)
		}
		logged, _ := log(t, m, model.Reading{Red: ref(red), Black: ref(black), Mode: mode, Value: shown})
		return logged.Message
	}
	for _, mode := range []model.Mode{model.ModeVoltsAC, model.ModeVoltsDC} {
		text := message("X1:L", "X1:N", mode, "230")
		if strings.Contains(text, "ripple") || !strings.Contains(text, "mains side") || strings.Count(text, judge.MainsCaution) != 1 {
			t.Errorf("%s on the mains: %q", mode, text)
		}
	}
	if text := message("X1:L", "G1:L", model.ModeOhms, "0.3"); strings.Count(text, judge.MainsCaution) != 1 {
		t.Errorf("ohms on the mains: %q", text)
	}
	if text := message("G1:+", "G1:-", model.ModeVoltsAC, "0.02"); !strings.Contains(text, "ripple") || strings.Contains(text, judge.MainsCaution) {
		t.Errorf("ripple of a supply: %q", text)
	}
}
