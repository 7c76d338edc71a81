package faults

// Rules are all rules, in the order of the contract's table.
var Rules = []Rule{
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
	ruleIntermittent,
}
