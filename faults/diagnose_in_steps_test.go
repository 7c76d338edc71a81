package faults

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"bellout/model/sample"
)

func TestDiagnoseInStepsIsDiagnoseThatTellsHowFarItIs(t *testing.T) {
	m := sample.Machine(3, 2000)
	var seen []int
	last := 0
	d, err := DiagnoseInSteps(context.Background(), m, func(done, of int) {
		seen = append(seen, done)
		last = of
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(seen); i++ {
		if seen[i] <= seen[i-1] {
			t.Fatalf("it went back: %v", seen)
		}
	}
	if len(seen) == 0 || seen[len(seen)-1] != last {
		t.Errorf("it ended at %v of %d", seen, last)
	}
	if want := Diagnose(m); !reflect.DeepEqual(d.Report(), want.Report()) {
		t.Error("the report is another one than that of Diagnose")
	}
}

func TestDiagnoseInStepsEndsEarly(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	d, err := DiagnoseInSteps(ctx, sample.Machine(3, 2000), func(done, _ int) {
		if done > rulesAStep {
			stop()
		}
	})
	if d != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("a diagnosis %v, %v", d != nil, err)
	}
}
