package causes

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
)

// group is a number of witnesses that are alike.
type group struct {
	name      string
	count     int
	health    model.Health
	fragility float64
	b         float64
}

// reached says how much of a candidate reaches a group; fragility 0 means the
// group's own.
type reached struct {
	group     string
	share     float64
	fragility float64
}

type suspectCase struct {
	name      string
	mechanism Mechanism
	prior     string
	evidence  []string
	reaches   []reached
	// What the worked case prints, to the tenth.
	failed, healthy, total float64
}

type workedCase struct {
	name     string
	groups   []group
	suspects []suspectCase
	failed   int
	verdict  Verdict
	robust   map[string]float64
}

// The five worked mini-cases of the scheme (common practice, invented cases;
// totals as they are printed with it).
var workedCases = []workedCase{
	{
		name: "A: the door", failed: 4, verdict: Strong,
		groups: []group{
			{"encoders", 3, model.HealthFailed, 1, .02}, {"pixels", 1, model.HealthFailed, 1, .06},
			{"base", 4, model.HealthOK, 1, .02}, {"solenoids", 4, model.HealthOK, .15, .02}, {"pc", 1, model.HealthOK, .7, .02},
		},
		suspects: []suspectCase{
			{"door return", LostReturn, "prior", []string{"order-weeks"},
				[]reached{{"encoders", 1, 0}, {"pixels", 1, 0}, {"solenoids", .3, 0}, {"pc", .3, 0}}, 54.7, -1.1, 50.6},
			{"door solenoids", Transient, "prior-unsuppressed", []string{"order-weeks"},
				[]reached{{"encoders", .4, 0}, {"pixels", .4, 0}}, 31.9, 0, 27.9},
			{"door return, resistive", GroundShift, "prior", []string{"order-weeks"},
				[]reached{{"encoders", 1, 0}, {"pixels", 1, 0}, {"pc", .3, 0}}, 32.9, -0.1, 27.8},
			{"5 V supply", Overvoltage, "prior", []string{"order-longer"},
				[]reached{{"encoders", 1, 0}, {"pixels", 1, 0}, {"base", 1, 0}}, 59.4, -28.0, 13.5},
		},
	},
	{
		name: "B: one evening", failed: 4, verdict: Undecided,
		groups: []group{
			{"boards", 3, model.HealthFailed, 1, .02}, {"pixels", 1, model.HealthFailed, 1, .06},
			{"encoders", 3, model.HealthOK, 1, .02}, {"amplifier", 1, model.HealthOK, .5, .02},
			{"fan", 1, model.HealthOK, .2, .02}, {"strip", 1, model.HealthOK, .5, .02},
		},
		suspects: []suspectCase{
			{"step-down", Overvoltage, "prior", []string{"order-session"}, []reached{{"boards", 1, 0}, {"pixels", 1, 0}}, 59.4, 0, 53.4},
			{"return of that branch", LostReturn, "prior", nil, []reached{{"boards", 1, 0}, {"pixels", 1, 0}}, 54.7, 0, 48.7},
			{"12 V supply", Overvoltage, "prior", []string{"order-session"},
				[]reached{{"boards", .3, 0}, {"pixels", .3, 0}, {"amplifier", 1, 0}, {"fan", 1, 0}, {"strip", 1, 0}}, 40.0, -5.2, 28.8},
			{"mains", MainsSurge, "prior", []string{"order-session"},
				[]reached{{"boards", .3, 0}, {"pixels", .3, 0}, {"encoders", .3, 0}, {"amplifier", .3, 0}, {"fan", .3, 0}, {"strip", .3, 0}},
				27.9, -2.0, 19.9},
		},
	},
	{
		name: "C: three channels", failed: 3, verdict: Leaning,
		groups: []group{{"dead", 3, model.HealthFailed, .8, .02}, {"live", 13, model.HealthOK, .8, .02}},
		suspects: []suspectCase{
			{"replacement coils", Transient, "prior-unsuppressed", []string{"order-weeks", "changed-before"},
				[]reached{{"dead", 1, 0}, {"live", .1, 0}}, 35.0, -1.6, 35.4},
			{"driver boards", Heat, "prior", []string{"order-weeks"}, []reached{{"dead", .5, 0}, {"live", .5, 0}}, 25.1, -7.2, 10.9},
			{"board return", LostReturn, "prior", []string{"order-weeks"}, []reached{{"dead", 1, 0}, {"live", 1, 0}}, 41.7, -36.9, 1.8},
			{"24 V supply", Overvoltage, "prior", []string{"order-longer"}, []reached{{"dead", 1, 0}, {"live", 1, 0}}, 45.3, -57.7, -30.4},
		},
		robust: map[string]float64{"replacement coils": 36.4, "board return": 24.5, "driver boards": 15.3, "24 V supply": 5.1},
	},
	{
		name: "D: plug and die", failed: 3, verdict: Leaning,
		groups: []group{
			{"interfaces", 3, model.HealthFailed, 1, .02}, {"drivers", 2, model.HealthOK, .4, .02},
			{"motors", 3, model.HealthOK, .15, .02}, {"hub devices", 5, model.HealthOK, 1, .02},
		},
		suspects: []suspectCase{
			{"floating 36 V", Leakage, "prior", []string{"plug-in"}, []reached{{"interfaces", 1, 0}}, 31.0, 0, 29.0},
			{"motor return", GroundShift, "prior", []string{"order-weeks"}, []reached{{"interfaces", 1, 0}}, 27.7, 0, 22.7},
			{"36 V supply", Overvoltage, "prior", []string{"order-longer"},
				[]reached{{"interfaces", 1, .4}, {"drivers", 1, 0}, {"motors", 1, 0}}, 36.7, -5.0, 13.7},
			{"hub 5 V", Overvoltage, "prior", []string{"order-longer"}, []reached{{"interfaces", 1, 0}, {"hub devices", 1, 0}}, 48.1, -34.9, -4.8},
		},
	},
	{
		name: "E: nothing in common", failed: 3, verdict: None,
		groups: []group{
			{"fan", 1, model.HealthFailed, .2, .10}, {"relay", 1, model.HealthFailed, .15, .08}, {"module", 1, model.HealthFailed, .5, .06},
			{"top modules", 5, model.HealthOK, .5, .06}, {"modules", 3, model.HealthOK, .5, .06}, {"fans", 4, model.HealthOK, .2, .10},
			{"24 V devices", 6, model.HealthOK, .4, .02}, {"24 V relays", 8, model.HealthOK, .15, .08}, {"others", 4, model.HealthOK, .3, .02},
		},
		suspects: []suspectCase{
			{"cabinet top", Heat, "prior", nil, []reached{{"fan", .5, 1}, {"relay", .5, 1}, {"top modules", .5, 0}}, 8.1, -1.7, -3.6},
			{"mains", MainsSurge, "prior", []string{"order-longer"}, []reached{
				{"fan", .3, 0}, {"relay", .3, 0}, {"module", .3, 0}, {"top modules", .3, 0}, {"modules", .3, 0}, {"fans", .3, 0},
				{"24 V devices", .3, 0}, {"24 V relays", .3, 0}, {"others", .3, 0}}, 4.1, -4.5, -18.4},
			{"12 V supply", Overvoltage, "prior", []string{"order-longer"},
				[]reached{{"fan", 1, 0}, {"module", 1, 0}, {"top modules", 1, 0}, {"modules", 1, 0}, {"fans", 1, 0}}, 12.5, -20.8, -26.3},
			{"24 V supply", Overvoltage, "prior", []string{"order-longer"},
				[]reached{{"relay", 1, 0}, {"24 V devices", 1, 0}, {"24 V relays", 1, 0}}, 3.8, -14.5, -28.7},
		},
	},
}

// lay turns a worked case into witnesses and candidates.
func (c workedCase) lay(w *Weights) ([]Witness, []Candidate) {
	var witnesses []Witness
	members := map[string][]int{}
	fragility := map[string]float64{}
	for _, g := range c.groups {
		fragility[g.name] = g.fragility
		for i := range g.count {
			members[g.name] = append(members[g.name], len(witnesses))
			witnesses = append(witnesses, Witness{Device: fmt.Sprintf("%s %d", g.name, i+1), Health: g.health, Background: g.b, Sure: 1})
		}
	}
	var candidates []Candidate
	for _, s := range c.suspects {
		candidate := Candidate{Place: Place{Device: s.name}, Mechanism: s.mechanism}
		for _, evidence := range append([]string{s.prior}, s.evidence...) {
			candidate.Lines = append(candidate.Lines, Line{Points: w.Points(evidence, s.mechanism), Text: evidence})
		}
		for _, r := range s.reaches {
			f := r.fragility
			if f == 0 {
				f = fragility[r.group]
			}
			for _, at := range members[r.group] {
				candidate.Exposed = append(candidate.Exposed, Exposure{Witness: at, Share: r.share, Fragility: f})
			}
		}
		candidates = append(candidates, candidate)
	}
	return witnesses, candidates
}

func tenth(x float64) float64 { return math.Round(x*10) / 10 }

func TestWorkedCasesToThePrintedTenth(t *testing.T) {
	w := DefaultWeights()
	for _, c := range workedCases {
		t.Run(c.name, func(t *testing.T) {
			witnesses, candidates := c.lay(w)
			ranking := Score(witnesses, candidates, w)
			for at, want := range c.suspects {
				got := ranking[at]
				if got.Place.Device != want.name {
					t.Fatalf("place %d is %s, want %s", at+1, got.Place.Device, want.name)
				}
				if tenth(got.Points) != want.total || tenth(got.Failed) != want.failed || tenth(got.Healthy)+0 != want.healthy {
					t.Errorf("%s: failed %.2f, healthy %.2f, total %.2f; printed %.1f, %.1f, %.1f",
						want.name, got.Failed, got.Healthy, got.Points, want.failed, want.healthy, want.total)
				}
				// The robust totals were printed as sums of rounded parts: 15.352 is
				// printed 15.3.
				if robust, printed := c.robust[want.name]; printed && math.Abs(got.Robust-robust) > 0.055 {
					t.Errorf("%s: robust total %.2f, printed %.1f", want.name, got.Robust, robust)
				}
			}
			if verdict := Judge(ranking, c.failed, w); verdict != c.verdict {
				t.Errorf("verdict %q, want %q", verdict, c.verdict)
			}
		})
	}
}

// A place is not its own rival: a return that opens, or that heavy currents move, is
// one return.
func TestAPlaceIsNotItsOwnRival(t *testing.T) {
	w := DefaultWeights()
	return_, supply := Place{Wire: "W4"}, Place{Device: "G1"}
	ranking := func(second Place) []Scored {
		return []Scored{
			{Candidate: Candidate{Place: return_, Mechanism: LostReturn}, Points: 40, Robust: 40},
			{Candidate: Candidate{Place: second, Mechanism: GroundShift}, Points: 38, Robust: 38},
			{Candidate: Candidate{Place: supply, Mechanism: Overvoltage}, Points: 10, Robust: 10},
		}
	}
	if got := Judge(ranking(return_), 4, w); got != Strong {
		t.Errorf("two ways of one place, far ahead of all others: %s", got)
	}
	if got := Judge(ranking(Place{Wire: "W5"}), 4, w); got != Undecided {
		t.Errorf("two places close together: %s", got)
	}
}

func TestTwoFailedDevicesNameNobodyWithoutAReading(t *testing.T) {
	w := DefaultWeights()
	witnesses := []Witness{
		{Device: "A1", Health: model.HealthFailed, Background: .02, Sure: 1},
		{Device: "A2", Health: model.HealthFailed, Background: .02, Sure: 1},
	}
	candidate := Candidate{
		Place: Place{Device: "G1"}, Mechanism: Overvoltage,
		Exposed: []Exposure{{Witness: 0, Share: 1, Fragility: 1}, {Witness: 1, Share: 1, Fragility: 1}},
	}
	if got := Judge(Score(witnesses, []Candidate{candidate}, w), 2, w); got != Undecided {
		t.Errorf("two failures and nothing measured: %q, want %q", got, Undecided)
	}
	candidate.Decided = true
	if got := Judge(Score(witnesses, []Candidate{candidate}, w), 2, w); got != Strong {
		t.Errorf("two failures and a reading that decides: %q, want %q", got, Strong)
	}
}

// A further failed device in reach never lowers a candidate, a healthy one
// never raises it, an unknown one changes nothing; shares sum to 1.
func TestWitnessesPullTheirWay(t *testing.T) {
	w := DefaultWeights()
	rapid.Check(t, func(t *rapid.T) {
		exposure := Exposure{
			Share:     rapid.Float64Range(0, 1).Draw(t, "share"),
			Fragility: rapid.Float64Range(0, 1).Draw(t, "fragility"),
		}
		mechanism := rapid.SampledFrom([]Mechanism{Overvoltage, LostReturn, Ripple, Heat}).Draw(t, "mechanism")
		witness := Witness{
			Background: rapid.Float64Range(0.001, 0.5).Draw(t, "background"), Sure: rapid.Float64Range(0, 1).Draw(t, "sure"),
		}
		lethality := w.Lethality[mechanism]
		witness.Health = model.HealthFailed
		if points := devicePoints(witness, exposure, lethality); points < -1e-12 {
			t.Fatalf("a failed witness takes %g points", points)
		}
		witness.Health = model.HealthOK
		if points := devicePoints(witness, exposure, lethality); points > 0 {
			t.Fatalf("a healthy witness brings %g points", points)
		}
		witness.Health = model.HealthUnknown
		if points := devicePoints(witness, exposure, lethality); points != 0 {
			t.Fatalf("an unknown witness counts %g points", points)
		}
	})
	for _, c := range workedCases {
		witnesses, candidates := c.lay(w)
		scored := Score(witnesses, candidates, w)
		shares := posterior(witnesses, scored, w)
		var sum float64
		for _, share := range shares {
			sum += share
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: shares sum to %g", c.name, sum)
		}
		if slices.Max(shares) != shares[0] {
			t.Errorf("%s: %s %s leads with %.1f points, and the shares are %.3f", c.name, scored[0].Place, scored[0].Mechanism, scored[0].Points, shares)
		}
	}
}
