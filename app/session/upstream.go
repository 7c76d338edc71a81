package session

import (
	"context"

	"bellout/faults"
	"bellout/faults/causes"
)

// Upstream is what leads to a device, and what it shares with the others that
// failed.
type Upstream struct {
	Device string
	Paths  *faults.TraceResult // nil where Err says why
	// Blocked says of each path of Paths where it does not conduct.
	Blocked [][]string
	Ranking *causes.Ranking // nil where no part died in the device's place
	Err     error
}

// AskUpstream works out what leads to a device, and brings it to the owner.
func (d *Session) AskUpstream(device string, answer func(Upstream)) {
	Ask(d, "upstream", func(ctx context.Context, view View) Upstream {
		found := Upstream{Device: device}
		found.Paths, found.Err = faults.Trace(view.Machine, device)
		if found.Err != nil || ctx.Err() != nil {
			return found
		}
		for _, path := range found.Paths.Paths {
			found.Blocked = append(found.Blocked, faults.Hindrances(view.Machine, path))
		}
		if len(view.Machine.Deaths(device)) > 0 {
			found.Ranking = rank(view)
		}
		return found
	}, answer)
}

// AskSuspects works out what all failed devices share.
func (d *Session) AskSuspects(answer func(*causes.Ranking)) {
	Ask(d, "suspects", func(_ context.Context, view View) *causes.Ranking { return rank(view) }, answer)
}

func rank(view View) *causes.Ranking {
	known := causes.Known{Findings: view.Report.Findings, ProvenWires: view.Proven, Stale: view.Stale}
	return causes.Rank(faults.NewAnalysis(view.Machine), known, causes.DefaultWeights())
}
