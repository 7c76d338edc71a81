package merge

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

// parted draws a machine and two that went on from it.
func parted(t *rapid.T, markA, markB string) (base, a, b *model.Machine) {
	base = sample.Draw(t)
	a, b = base.Clone(), base.Clone()
	for _, side := range []struct {
		m    *model.Machine
		mark string
	}{{a, markA}, {b, markB}} {
		if err := side.m.Apply(sample.DrawEdit(t, side.m, side.mark, 6)); err != nil {
			t.Fatal(err)
		}
	}
	return base, a, b
}

func decide(t *rapid.T, base, mine, theirs *model.Machine, choose func(Conflict) Choice) (*model.Machine, *Result) {
	result, err := planned(base, mine, theirs).Decide(choose)
	if err != nil {
		t.Fatal(err)
	}
	merged := mine.Clone()
	if err := merged.ApplyStored(result.Edit); err != nil {
		t.Fatal(err)
	}
	return merged, result
}

// said prints what a machine says, whatever numbers its readings have.
func said(m *model.Machine) string {
	var lines []string
	for _, row := range m.Sorted().Rows() {
		switch row := row.(type) {
		case model.Reading:
			row.At, row.Number, row.Stored = row.At.UTC(), 0, 0
			lines = append(lines, fmt.Sprintf("%+v", row))
		case model.Device:
			row.FailedAt = row.FailedAt.UTC()
			lines = append(lines, fmt.Sprintf("%+v", row))
		default:
			lines = append(lines, fmt.Sprintf("%T %+v", row, row))
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

func alike(t *rapid.T, got, want *model.Machine, when string) {
	t.Helper()
	a, b := strings.Split(said(got), "\n"), strings.Split(said(want), "\n")
	for _, line := range a {
		if !slices.Contains(b, line) {
			t.Fatalf("%s: surplus %s", when, line)
		}
	}
	for _, line := range b {
		if !slices.Contains(a, line) {
			t.Fatalf("%s: missing %s", when, line)
		}
	}
	if len(a) != len(b) {
		t.Fatalf("%s: %d rows, want %d", when, len(a), len(b))
	}
}

func TestWhereOnlyOneWentOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base, a, _ := parted(t, "a", "a")
		for name, m := range map[string][3]*model.Machine{"with itself": {base, a, a}, "with what it was": {base, a, base}} {
			plan := planned(m[0], m[1], m[2])
			if list := plan.Conflicts(); list == nil || len(list) > 0 {
				t.Fatalf("%s: %+v", name, list)
			}
			if result, err := plan.Decide(nil); err != nil || len(result.Edit.Changes) > 0 || len(result.Left)+len(result.Away) > 0 {
				t.Fatalf("%s: %+v, %v", name, result, err)
			}
		}
		if list := planned(base, base, a).Conflicts(); len(list) > 0 {
			t.Fatalf("with what it became: %+v", list)
		}
		merged, result := decide(t, base, base, a, nil)
		alike(t, merged, a, "with what it became")
		for number, origin := range result.Origin {
			here, _ := merged.Reading(number)
			there, _ := a.Reading(origin)
			if !here.SamePair(there) {
				t.Fatalf("reading %d is said to be %d: %+v, %+v", number, origin, here, there)
			}
		}
	})
}

// sided chooses one of the two people for each row, whoever receives.
func sided(aReceives bool) func(Conflict) Choice {
	return func(c Conflict) Choice {
		h := fnv.New32()
		_, _ = h.Write([]byte(string(c.Table) + c.ID))
		if aTakes := h.Sum32()%2 == 0; aTakes == aReceives {
			return Mine
		}
		return Theirs
	}
}

func TestMergedBothWaysTheMachinesAreEqual(t *testing.T) {
	conflicts := 0
	rapid.Check(t, func(t *rapid.T) {
		base, a, b := parted(t, "n", "n")
		conflicts += len(planned(base, a, b).Conflicts())
		mergedA, _ := decide(t, base, a, b, sided(true))
		mergedB, _ := decide(t, base, b, a, sided(false))
		alike(t, mergedA, mergedB, "merged both ways")
	})
	if !testing.Short() && conflicts < 3 {
		t.Errorf("only %d conflicts", conflicts)
	}
}

// Edits that touch no row in common, and delete none, give what one after the
// other gives, in either order, and no conflict.
func TestDisjointEditsCommute(t *testing.T) {
	disjoint := 0
	rapid.Check(t, func(t *rapid.T) {
		base := sample.Draw(t)
		one, two := sample.DrawEdit(t, base, "a", 4), sample.DrawEdit(t, base, "b", 4)
		touched := map[key]bool{}
		for _, change := range one.Changes {
			for _, row := range []model.Row{change.Before, change.After} {
				if row != nil {
					touched[keyOf(row)] = true
				}
			}
		}
		for at, change := range two.Changes {
			for _, row := range []model.Row{change.Before, change.After} {
				if row != nil && touched[keyOf(row)] && row.Table() != model.TableReading {
					return
				}
			}
			if _, kept := change.Before.(model.Reading); kept {
				return
			}
			if r, is := change.After.(model.Reading); is { // numbered on, as a file does
				r.Number += 1000
				two.Changes[at].After = r
			}
		}
		a, b, ab, ba := base.Clone(), base.Clone(), base.Clone(), base.Clone()
		if a.Apply(one) != nil || b.Apply(two) != nil {
			t.Fatal("a drawn edit was refused")
		}
		if ab.Apply(one) != nil || ab.Apply(two) != nil || ba.Apply(two) != nil || ba.Apply(one) != nil {
			return // one hangs on what the other deletes
		}
		plan := planned(base, a, b)
		if list := plan.Conflicts(); len(list) > 0 {
			t.Fatalf("conflicts: %+v", list)
		}
		disjoint++
		merged, _ := decide(t, base, a, b, nil)
		alike(t, merged, ab, "one after the other")
		alike(t, merged, ba, "the other after one")
	})
	if !testing.Short() && disjoint < 3 {
		t.Errorf("only %d pairs of edits were disjoint", disjoint)
	}
}

// By the safe choices every row that either side brought or changed is there in
// the end, as one of the two has it, and every reading.
func TestNothingIsLostBySafeChoices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base, a, b := parted(t, "n", "n")
		merged, result := decide(t, base, a, b, nil)
		if len(result.Left) > 0 || len(result.Away) > 0 {
			t.Fatalf("left %+v, away %+v", result.Left, result.Away)
		}
		names := map[string]int{}
		for _, wire := range merged.Wires {
			names[fmt.Sprint(endsOf(wire), wire.Removed)]++
		}
		for _, side := range []*model.Machine{a, b} {
			for k, row := range rowsIn(t, side) {
				if model.SameRow(row, base.Row(k.table, k.id)) || k.table == model.TablePlace {
					continue
				}
				if merged.Row(k.table, k.id) == nil {
					t.Fatalf("%+v is lost", row)
				}
				if wire, isWire := row.(model.Wire); isWire && base.Row(k.table, k.id) == nil && names[fmt.Sprint(endsOf(wire), wire.Removed)] == 0 {
					t.Fatalf("the wire %+v is lost", wire)
				}
			}
			have := keptOf(merged)
			before := keptOf(base)
			for _, r := range inOrder(side) {
				if _, old := before.take(r); old {
					continue
				}
				if _, there := have.take(r); !there {
					t.Fatalf("the reading %+v is lost", r)
				}
			}
		}
	})
}

// Whatever is chosen, the outcome is a machine, and rows that nobody touched
// stay.
func TestAnyChoiceGivesAMachine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base, a, b := parted(t, "n", "n")
		chosen := map[key]Choice{}
		merged, result := decide(t, base, a, b, func(c Conflict) Choice {
			if c.Mine == nil && c.Theirs == nil || len(c.Fields) == 0 && (c.Reason == BothAdded || c.Reason == BothChanged) {
				t.Fatalf("no conflict: %+v", c)
			}
			choice := rapid.SampledFrom([]Choice{Mine, Theirs, Both}).Draw(t, "choice")
			chosen[key{c.Table, c.ID}] = choice
			return choice
		})
		for _, change := range result.Edit.Changes {
			if model.SameRow(change.Before, change.After) {
				t.Fatalf("a change of nothing: %+v", change)
			}
		}
		for k, row := range rowsIn(t, base) {
			untouched := model.SameRow(row, a.Row(k.table, k.id)) && model.SameRow(row, b.Row(k.table, k.id))
			if untouched && !model.SameRow(row, merged.Row(k.table, k.id)) {
				t.Fatalf("%+v became %+v", row, merged.Row(k.table, k.id))
			}
		}
	})
}

// planned is Make where nobody stops it.
func planned(base, mine, theirs *model.Machine) *Plan {
	p, err := Make(context.Background(), base, mine, theirs)
	if err != nil {
		panic(err)
	}
	return p
}

func rowsIn(t *rapid.T, m *model.Machine) map[key]model.Row {
	rows, err := rowsOf(&pace{ctx: context.Background()}, m)
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// ending is a context that ends when it was looked at so many times.
type ending struct {
	context.Context
	looks, left int
}

func (c *ending) Err() error {
	c.looks++
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// A plan of many rows ends soon after its context, wherever it is; the machines
// are as they were.
func TestMakeStopsWithItsContext(t *testing.T) {
	base := sample.Machine(1, 10000)
	mine, theirs := base.Clone(), base.Clone()
	was := base.Clone()
	whole := &ending{Context: t.Context(), left: 1 << 30}
	if _, err := Make(whole, base, mine, theirs); err != nil {
		t.Fatal(err)
	}
	if whole.looks < 20 {
		t.Errorf("it looks only %d times", whole.looks)
	}
	for _, left := range []int{0, 1, whole.looks / 2, whole.looks - 2, whole.looks - 1} {
		ctx := &ending{Context: t.Context(), left: left}
		plan, err := Make(ctx, base, mine, theirs)
		if plan != nil || !errors.Is(err, context.Canceled) || ctx.looks > left+1 {
			t.Errorf("ended at look %d of %d, it went on for %d and returned a plan %v, %v", left, whole.looks, ctx.looks, plan != nil, err)
		}
	}
	if !base.Equal(was) || !mine.Equal(was) || !theirs.Equal(was) {
		t.Error("a machine was changed")
	}
}
