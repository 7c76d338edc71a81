package desk

import (
	"context"

	"bellout/faults"
	"bellout/model"
)

// FromNothing is the plain way to know what one more reading means: a session
// made anew. For benchmarks.
func FromNothing(_ context.Context, m *model.Machine) *faults.Report {
	return faults.NewSession(m).Report()
}
