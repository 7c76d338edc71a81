package faults

// Severity says how much a finding matters.
type Severity string

// The severities, the worst first.
const (
	Fault   Severity = "fault"   // wrong: repair it
	Warning Severity = "warning" // would fail a careful inspection
	Note    Severity = "note"
)

// Finding is one thing that a rule found. The lists name what it is about, the
// culprit first; a culprit link stands as its device and both terminals, a
// joint as its terminal. No list is nil.
type Finding struct {
	Rule       string   `json:"rule"`
	Severity   Severity `json:"severity"`
	Confidence float64  `json:"confidence"` // 0 to 1, given this map
	Devices    []string `json:"devices"`
	Terminals  []string `json:"terminals"`
	Wires      []string `json:"wires"`
	Nets       []string `json:"nets"`
	Readings   []int64  `json:"readings"`
	Message    string   `json:"message"` // what is wrong, and where
	Advice     string   `json:"advice"`  // the measurement that decides, then the repair
}

// Rule is one rule of the contract's table.
type Rule struct {
	Name  string // the contract's word, as in rail-cross
	Title string // one line
	Why   string // the longer reason; help, window and README show this text
	// Check finds what breaks the rule. It changes nothing.
	Check func(*Bench) []Finding
}
