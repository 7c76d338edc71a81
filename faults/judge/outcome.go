package judge

// Outcome says how a reading stands to the map.
type Outcome string

// The outcomes, in the words of the README.
const (
	// Agrees: a good machine shows this.
	Agrees Outcome = "agrees"
	// Discovery: a beep to a terminal that has no wire yet.
	Discovery Outcome = "discovery"
	// Contradicts: a machine that is as the map says does not show this.
	Contradicts Outcome = "contradicts"
	// Undecided: what the meter shows can't tell.
	Undecided Outcome = "undecided"
)
