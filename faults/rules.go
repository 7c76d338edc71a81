package faults

// Names of the rules that a crossing can break: cutting the nets apart needs
// them before the rules are there.
const (
	nameShort       = "short"
	nameRailCross   = "rail-cross"
	nameMixedGround = "mixed-ground"
)

// Rules are all rules, in the order of the README's section Rules.
var Rules = []Rule{
	ruleLivePart,
	ruleOpen,
	ruleHighResistance,
	ruleShort,
	ruleRailCross,
	ruleMixedGround,
	ruleGroundLoop,
	ruleFloatingGround,
	ruleSwapped,
	ruleCriticalReturn,
	ruleSneakPath,
	ruleOverVoltage,
	ruleUnderVoltage,
	ruleReversePolarity,
	ruleNoFeed,
	ruleNoReturn,
	ruleOverload,
	ruleVoltageDrop,
	ruleNoFuse,
	ruleFuseTooLarge,
	ruleNoFlyback,
	ruleNoEarth,
	ruleFailedPart,
	ruleIntermittent,
}
